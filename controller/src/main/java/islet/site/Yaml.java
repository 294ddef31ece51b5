package islet.site;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;

/** A YAML value that knows where it was read. */
sealed interface Yaml {

  /** Where the value begins. */
  Location at();

  /** The value as YAML in one line. */
  String oneLine();

  /** The value as it is quoted in a message: a plain text just as it is. */
  default String inMessage() {
    return this instanceof Scalar scalar ? scalar.text() : oneLine();
  }

  /** Text without structure. A plain scalar without text is a value left out. */
  record Scalar(String text, Location at) implements Yaml {
    @Override
    public String oneLine() {
      return YamlText.scalar(text);
    }
  }

  /** A list. */
  record Sequence(List<Yaml> items, Location at) implements Yaml {
    public Sequence {
      items = List.copyOf(items);
    }

    @Override
    public String oneLine() {
      return items.stream().map(Yaml::oneLine).collect(Collectors.joining(", ", "[", "]"));
    }
  }

  /** Fields by name, in the file's order. */
  record Mapping(Map<String, Field> fields, Location at) implements Yaml {
    public Mapping {
      fields = Collections.unmodifiableMap(new LinkedHashMap<>(fields));
    }

    @Override
    public String oneLine() {
      return "{ " + inner() + " }";
    }

    /** The same without the outer braces. */
    String inner() {
      return fields.entrySet().stream()
          .map(e -> e.getKey() + ": " + e.getValue().value().oneLine())
          .collect(Collectors.joining(", "));
    }
  }

  /** A field's value, and where its name stands. */
  record Field(Location name, Yaml value) {}
}
