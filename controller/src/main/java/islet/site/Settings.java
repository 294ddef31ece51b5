package islet.site;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** Paths through a file's values: finding one, and putting a run's own value in its place. */
final class Settings {
  private Settings() {}

  /** The file's fields with the settings put in; what can't be put in is noted. */
  static Yaml.Mapping apply(Yaml.Mapping root, List<Setting> settings, Problems problems) {
    Yaml.Mapping changed = root;
    for (Setting setting : settings) {
      Location at = new Location(setting.file(), setting.line(), 1);
      try {
        Yaml value = YamlReader.value(setting.value(), at);
        changed =
            (Yaml.Mapping) put(changed, setting, List.of(setting.path().split("\\.", -1)), value);
      } catch (InputException e) {
        e.problems().forEach(problems::add);
      }
    }
    return changed;
  }

  /** The field at a dotted path, if it is given. */
  static Optional<Yaml.Field> find(Yaml.Mapping root, String path) {
    Yaml.Field whole = root.fields().get(path); // a name given by mistake may hold a dot
    if (whole != null) {
      return Optional.of(whole);
    }
    Optional<Yaml.Field> field = Optional.of(new Yaml.Field(root.at(), root));
    for (String name : path.split("\\.", -1)) {
      field = field.flatMap(parent -> child(parent.value(), name));
    }
    return field;
  }

  /** A dotted path in which a list's entries go by their own names where they have one. */
  static String shown(Yaml.Mapping root, String path) {
    List<String> shown = new ArrayList<>();
    Optional<Yaml> at = Optional.of(root);
    for (String name : path.split("\\.", -1)) {
      boolean entry = at.isPresent() && at.get() instanceof Yaml.Sequence;
      at = at.flatMap(parent -> child(parent, name)).map(Yaml.Field::value);
      boolean named = entry && at.isPresent() && at.get() instanceof Yaml.Mapping;
      shown.add(named ? label((Yaml.Mapping) at.orElseThrow(), name) : name);
    }
    return String.join(".", shown);
  }

  private static Optional<Yaml.Field> child(Yaml parent, String name) {
    if (parent instanceof Yaml.Mapping mapping) {
      return Optional.ofNullable(mapping.fields().get(name));
    }
    if (parent instanceof Yaml.Sequence sequence) {
      return indexOf(sequence, name).map(sequence.items()::get).map(i -> new Yaml.Field(i.at(), i));
    }
    return Optional.empty();
  }

  /** Where in a list the entry of this name or number stands. */
  private static Optional<Integer> indexOf(Yaml.Sequence sequence, String name) {
    for (int i = 0; i < sequence.items().size(); i++) {
      String number = String.valueOf(i + 1);
      if (name.equals(number) || name.equals(label(sequence.items().get(i), number))) {
        return Optional.of(i);
      }
    }
    return Optional.empty();
  }

  /** The name of a list's entry in a path: its own name when it has one, else its number from 1. */
  static String label(Yaml entry, String number) {
    Yaml name =
        entry instanceof Yaml.Mapping
            ? child(entry, "name").map(Yaml.Field::value).orElse(entry)
            : entry;
    return name instanceof Yaml.Scalar scalar && !scalar.text().isEmpty() ? scalar.text() : number;
  }

  /**
   * A copy of the value with the new one at the path. The last name of the path may be one that the
   * file leaves out; whether such a field exists at all is seen when the fields are read.
   */
  private static Yaml put(Yaml into, Setting setting, List<String> names, Yaml value) {
    String name = names.get(0);
    List<String> rest = names.subList(1, names.size());
    if (into instanceof Yaml.Mapping mapping) {
      Map<String, Yaml.Field> fields = new LinkedHashMap<>(mapping.fields());
      Yaml.Field old = fields.get(name);
      if (rest.isEmpty()) {
        fields.put(name, new Yaml.Field(value.at(), value));
        return new Yaml.Mapping(fields, mapping.at());
      }
      if (old == null) {
        throw unknown(setting, name, fields.keySet());
      }
      fields.put(name, new Yaml.Field(old.name(), put(old.value(), setting, rest, value)));
      return new Yaml.Mapping(fields, mapping.at());
    }
    if (into instanceof Yaml.Sequence sequence) {
      int index =
          indexOf(sequence, name).orElseThrow(() -> unknown(setting, name, labels(sequence)));
      List<Yaml> items = new ArrayList<>(sequence.items());
      items.set(index, rest.isEmpty() ? value : put(items.get(index), setting, rest, value));
      return new Yaml.Sequence(items, sequence.at());
    }
    throw unknown(setting, name, Set.of());
  }

  private static Set<String> labels(Yaml.Sequence sequence) {
    Set<String> labels = new LinkedHashSet<>();
    for (int i = 0; i < sequence.items().size(); i++) {
      labels.add(label(sequence.items().get(i), String.valueOf(i + 1)));
    }
    return labels;
  }

  private static InputException unknown(Setting setting, String name, Set<String> known) {
    return new InputException(
        List.of(
            new Problem(
                setting.file(),
                setting.line(),
                "settings." + setting.path(),
                "\"" + name + "\", which the site file does not have",
                known.isEmpty() ? "no field below this one" : "one of " + String.join(", ", known),
                Spelling.question(name, known))));
  }
}
