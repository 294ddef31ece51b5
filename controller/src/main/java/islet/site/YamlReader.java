package islet.site;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.snakeyaml.engine.v2.api.LoadSettings;
import org.snakeyaml.engine.v2.api.lowlevel.Parse;
import org.snakeyaml.engine.v2.common.ScalarStyle;
import org.snakeyaml.engine.v2.events.AliasEvent;
import org.snakeyaml.engine.v2.events.CollectionStartEvent;
import org.snakeyaml.engine.v2.events.Event;
import org.snakeyaml.engine.v2.events.MappingStartEvent;
import org.snakeyaml.engine.v2.events.NodeEvent;
import org.snakeyaml.engine.v2.events.ScalarEvent;
import org.snakeyaml.engine.v2.events.SequenceStartEvent;
import org.snakeyaml.engine.v2.exceptions.Mark;
import org.snakeyaml.engine.v2.exceptions.MarkedYamlEngineException;
import org.snakeyaml.engine.v2.exceptions.YamlEngineException;

/**
 * Reads one YAML 1.2 document into values that know where they stand. What a settings file has no
 * use for is refused, since it either hides a mistake or could make the reader run away: aliases,
 * tags, fields given twice, several documents, deep nesting, very large files.
 */
final class YamlReader {
  /** A hundred times the largest file that makes sense. */
  static final int MAXIMUM_BYTES = 1_000_000;

  private static final int MAXIMUM_DEPTH = 20;

  private final String file;
  private final Iterator<Event> events;
  private final Optional<Location> fixed;

  private YamlReader(String file, String text, Optional<Location> fixed) {
    this.file = file;
    this.fixed = fixed;
    LoadSettings settings = LoadSettings.builder().setLabel(file).build();
    this.events = new Parse(settings).parseString(text).iterator();
  }

  /**
   * Reads a file that holds fields.
   *
   * @throws InputException when there is no such file or it is not one YAML mapping
   */
  static Yaml.Mapping read(Path path) {
    String file = InputFile.shown(path);
    return fields(file, text(path, file));
  }

  /**
   * Reads a text that holds fields.
   *
   * @param file where it came from, for messages
   * @throws InputException when it is not one YAML mapping
   */
  static Yaml.Mapping fields(String file, String text) {
    Yaml value = new YamlReader(file, text, Optional.empty()).document();
    if (value instanceof Yaml.Mapping fields) {
      return fields;
    }
    throw wrong(
        file,
        value.at().line(),
        "\"" + Section.shortened(value.inMessage()) + "\"",
        "fields with values, each as \"name: value\"",
        "");
  }

  /** Reads a value out of a text that stands at one place of another file. */
  static Yaml value(String text, Location at) {
    return new YamlReader(at.file(), text, Optional.of(at)).document();
  }

  private static String text(Path path, String file) {
    try {
      if (!Files.isRegularFile(path)) {
        String found = Files.exists(path) ? "a folder or a device" : "no such file";
        throw wrong(file, 0, found, "a YAML file that exists", "Check the path and its spelling.");
      }
      if (Files.size(path) > MAXIMUM_BYTES) {
        String found = Files.size(path) + " bytes";
        throw wrong(file, 0, found, "at most " + MAXIMUM_BYTES + " bytes", "Is it the right file?");
      }
      byte[] bytes = Files.readAllBytes(path);
      return StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(bytes)).toString();
    } catch (CharacterCodingException e) {
      throw wrong(file, 0, "bytes that are not UTF-8", "YAML text in UTF-8", "Save it as UTF-8.");
    } catch (IOException e) {
      String found = "a file that can't be read (" + e.getClass().getSimpleName() + ")";
      throw wrong(file, 0, found, "a file that may be read", "Check its permissions.");
    }
  }

  private Yaml document() {
    try {
      events.next(); // start of stream
      Event event = events.next();
      if (event.getEventId() == Event.ID.StreamEnd) {
        throw wrong(
            file, 1, "an empty file", "fields with values", "Copy one of the files in config.");
      }
      Yaml value = value(events.next(), 0);
      events.next(); // end of document
      Event after = events.next();
      if (after.getEventId() != Event.ID.StreamEnd) {
        throw wrong(
            file, line(after), "a second document", "one document in a file", "Split the file.");
      }
      return value;
    } catch (MarkedYamlEngineException e) {
      int line =
          fixed.map(Location::line).orElse(e.getProblemMark().map(Mark::getLine).orElse(-1) + 1);
      String where =
          e.getProblemMark().map(mark -> " at column " + (mark.getColumn() + 1)).orElse("");
      throw notYaml(line, String.valueOf(e.getProblem()) + where);
    } catch (YamlEngineException e) {
      throw notYaml(0, String.valueOf(e.getMessage()).replaceAll("\\s+", " "));
    }
  }

  private InputException notYaml(int line, String reason) {
    return wrong(
        file,
        line,
        "text that is not YAML (" + reason + ")",
        "YAML 1.2",
        "Look at the indentation, the colons and the quotes there and just above.");
  }

  private Yaml value(Event event, int depth) {
    if (event instanceof AliasEvent alias) {
      throw wrong(
          file,
          line(event),
          "the alias \"*" + alias.getAlias() + "\"",
          "plain values",
          "Write the value out again.");
    }
    refuseTag(event);
    if (depth > MAXIMUM_DEPTH) {
      throw wrong(
          file,
          line(event),
          "values nested more than " + MAXIMUM_DEPTH + " deep",
          "the fields of this kind of file",
          "Look for brackets that are not closed.");
    }
    if (event instanceof ScalarEvent scalar) {
      boolean left = scalar.getScalarStyle() == ScalarStyle.PLAIN && isNull(scalar.getValue());
      return new Yaml.Scalar(left ? "" : scalar.getValue().strip(), at(event));
    }
    if (event instanceof SequenceStartEvent) {
      return sequence(event, depth);
    }
    return mapping((MappingStartEvent) event, depth);
  }

  /** The forms of nothing in YAML 1.2's core schema. */
  private static boolean isNull(String text) {
    return switch (text) {
      case "", "~", "null", "Null", "NULL" -> true;
      default -> false;
    };
  }

  private Yaml.Sequence sequence(Event start, int depth) {
    List<Yaml> items = new ArrayList<>();
    Event event = events.next();
    while (event.getEventId() != Event.ID.SequenceEnd) {
      items.add(value(event, depth + 1));
      event = events.next();
    }
    return new Yaml.Sequence(items, at(start));
  }

  private Yaml.Mapping mapping(MappingStartEvent start, int depth) {
    Map<String, Yaml.Field> fields = new LinkedHashMap<>();
    Event event = events.next();
    while (event.getEventId() != Event.ID.MappingEnd) {
      if (!(event instanceof ScalarEvent key)) {
        throw wrong(file, line(event), "a field whose name is a list", "a name of one word", "");
      }
      Location name = at(event);
      Yaml value = value(events.next(), depth + 1);
      if (fields.putIfAbsent(key.getValue(), new Yaml.Field(name, value)) != null) {
        throw wrong(
            file,
            name.line(),
            "the field \"" + key.getValue() + "\" a second time",
            "each field once",
            "Remove one of the two.");
      }
      event = events.next();
    }
    return new Yaml.Mapping(fields, at(start));
  }

  private void refuseTag(Event event) {
    Optional<String> tag =
        event instanceof ScalarEvent scalar
            ? scalar.getTag()
            : event instanceof CollectionStartEvent collection
                ? collection.getTag()
                : Optional.empty();
    if (tag.isPresent()) {
      throw wrong(
          file, line(event), "the tag \"" + tag.get() + "\"", "plain values", "Remove the tag.");
    }
    boolean anchored = event instanceof NodeEvent node && node.getAnchor().isPresent();
    if (anchored) {
      throw wrong(
          file, line(event), "an anchor", "plain values", "Remove the word after the \"&\".");
    }
  }

  private Location at(Event event) {
    return fixed.orElseGet(
        () ->
            new Location(
                file,
                line(event),
                event.getStartMark().map(mark -> mark.getColumn() + 1).orElse(0)));
  }

  private int line(Event event) {
    return fixed
        .map(Location::line)
        .orElseGet(() -> event.getStartMark().map(mark -> mark.getLine() + 1).orElse(0));
  }

  private static InputException wrong(
      String file, int line, String found, String allowed, String advice) {
    return new InputException(List.of(new Problem(file, line, "", found, allowed, advice)));
  }
}
