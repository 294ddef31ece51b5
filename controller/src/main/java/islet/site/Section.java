package islet.site;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.LocalTime;
import java.time.ZoneId;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.function.Function;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * The fields of one part of a settings file, read by type. A field that is missing or wrong is
 * noted and reading goes on with a stand-in (NaN for numbers, so that comparisons with it find
 * nothing), and when the part is done the fields nobody asked for are noted as unknown. So a person
 * sees all that is wrong at once.
 *
 * <p>A field is known once it has been asked for, hence the reader's code is the one list of
 * fields.
 */
public final class Section {
  private static final Pattern SPAN = Pattern.compile("(\\d\\d:\\d\\d)\\s*-\\s*(\\d\\d:\\d\\d)");
  private static final String SPAN_ALLOWED =
      "two different times of day such as 22:00-06:00, up to 24:00";
  private static final Site.MinuteSpan ALL_DAY = new Site.MinuteSpan(0, Spans.MINUTES_PER_DAY);

  /** Ten years: longer than any run, and far from what microseconds in 64 bits can hold. */
  private static final Duration MAXIMUM_DURATION = Duration.ofDays(3660);

  private final Yaml.Mapping fields;
  private final String path;
  private final Path folder;
  private final Problems problems;
  private final Set<String> known = new LinkedHashSet<>();
  private final Map<String, Problem> missing = new LinkedHashMap<>();

  private Section(Yaml.Mapping fields, String path, Path folder, Problems problems) {
    this.fields = fields;
    this.path = path;
    this.folder = folder;
    this.problems = problems;
  }

  /**
   * Reads a whole file.
   *
   * @param settings values that take the place of the file's own before anything is checked
   * @param reader makes the result out of the file's fields
   * @throws InputException with everything that is wrong in the file and in the settings
   */
  public static <T> T read(Path file, List<Setting> settings, Function<Section, T> reader) {
    Problems problems = new Problems();
    Yaml.Mapping root = Settings.apply(YamlReader.read(file), settings, problems);
    T result = new Section(root, "", InputFile.folder(file), problems).finish(reader);
    problems.throwIfAny();
    return result;
  }

  /**
   * Reads a text that stands in no file, such as one that came over the wire; it can name none.
   *
   * @param origin where it came from, for messages
   * @param reader makes the result out of the text's fields
   * @throws InputException with everything that is wrong in the text
   */
  public static <T> T readText(String origin, String text, Function<Section, T> reader) {
    Problems problems = new Problems();
    Yaml.Mapping root = YamlReader.fields(origin, text);
    T result = new Section(root, "", Path.of(""), problems).finish(reader);
    problems.throwIfAny();
    return result;
  }

  private <T> T finish(Function<Section, T> reader) {
    T result = reader.apply(this);
    Set<String> unknown = new LinkedHashSet<>(fields.fields().keySet());
    unknown.removeAll(known);
    for (String name : unknown) {
      Set<String> free = new LinkedHashSet<>(known);
      free.removeAll(fields.fields().keySet());
      Optional<String> meant = Spelling.nearest(name, free);
      Optional<Problem> settled = meant.flatMap(word -> Optional.ofNullable(missing.get(word)));
      settled.ifPresent(same -> missing.values().removeIf(same::equals)); // misspelt, not missing
      Location at = at(name);
      problems.add(
          new Problem(
              at.file(),
              at.line(),
              pathOf(name),
              "an unknown field",
              known.isEmpty() ? "no field here" : "one of " + String.join(", ", known),
              meant.map(word -> "Did you mean \"" + word + "\"?").orElse("")));
    }
    new LinkedHashSet<>(missing.values()).forEach(problems::add);
    return result;
  }

  /** Whether the field is given. Makes it known. */
  public boolean has(String name) {
    known.add(name);
    return value(name).isPresent();
  }

  /** Whether the field is known to be missing or wrong, so that its value is only a stand-in. */
  public boolean isWrong(String name) {
    return missing.containsKey(name) || problems.tellsOf(file(name), pathOf(name));
  }

  /** Whether the field is given as a group of fields of its own. */
  public boolean hasGroup(String name) {
    return has(name) && value(name).orElseThrow() instanceof Yaml.Mapping;
  }

  /**
   * Which of some fields is given, where exactly one must be. Makes them known.
   *
   * @return empty when none or more than one is given, which is noted
   */
  public Optional<String> oneOf(String... names) {
    List<String> given = Arrays.stream(names).filter(this::has).toList();
    String allowed = "one of " + String.join(", ", names);
    Location at = fields.at();
    if (given.isEmpty()) {
      Problem nothing = new Problem(at.file(), at.line(), path, "nothing", allowed, "");
      Arrays.stream(names).forEach(name -> missing.put(name, nothing));
    } else if (given.size() > 1) {
      String found = String.join(" and ", given) + " together";
      problems.add(new Problem(at.file(), at.line(), path, found, allowed, ""));
      names(); // what else belongs here depends on which one it is
    }
    return given.size() == 1 ? Optional.of(given.get(0)) : Optional.empty();
  }

  /** The names of all fields given here, in the file's order. Makes them known. */
  public List<String> names() {
    known.addAll(fields.fields().keySet());
    return List.copyOf(fields.fields().keySet());
  }

  /** All of this part in one line, as it is written in the file. */
  public String oneLine() {
    return fields.inner();
  }

  /** The line of a field, or of this part when the field is not given. */
  public int line(String name) {
    return at(name).line();
  }

  /** The file in which a field stands, as shown to a person. */
  public String file(String name) {
    return at(name).file();
  }

  /** Where problems of this reading are gathered. */
  public Problems problems() {
    return problems;
  }

  /**
   * Notes that a field's value can't stand. A field that is known to be missing or wrong already is
   * left at that, since what is judged then is only a stand-in.
   *
   * @param name here and below: the field's name, or a dotted path from here down to it
   */
  public void wrong(String name, String allowed, String advice) {
    if (isWrong(name)) {
      return;
    }
    String found = value(name).map(v -> "\"" + shortened(v.inMessage()) + "\"").orElse("nothing");
    wrong(name, found, allowed, advice);
  }

  /** Notes that a field can't stand. */
  public void wrong(String name, String found, String allowed, String advice) {
    Location at = at(name);
    problems.add(new Problem(at.file(), at.line(), pathOf(name), found, allowed, advice));
  }

  /** Text of at least one letter. */
  public String text(String name, String allowed, String advice) {
    return scalar(name, allowed, advice).orElse("");
  }

  /** Text that matches a pattern. */
  public String text(String name, Pattern form, String allowed, String advice) {
    Optional<String> text = scalar(name, allowed, advice);
    if (text.isPresent() && !form.matcher(text.get()).matches()) {
      wrong(name, allowed, advice);
      return "";
    }
    return text.orElse("");
  }

  /**
   * A number with its unit.
   *
   * @param minimum least allowed, in the dimension's own unit
   * @param maximum most allowed, in the dimension's own unit
   * @return in the dimension's own unit; NaN when it is missing or wrong
   */
  public double quantity(
      String name, Dimension dimension, double minimum, double maximum, String advice) {
    String allowed = dimension.text(minimum) + " to " + dimension.text(maximum);
    Optional<String> text = scalar(name, allowed, advice);
    if (text.isEmpty()) {
      return Double.NaN;
    }
    Optional<Quantity> quantity = Quantity.parse(text.get(), dimension);
    if (quantity.isEmpty()) {
      wrong(name, allowed + ", as " + dimension.form(), advice);
      return Double.NaN;
    }
    double value = quantity.get().value();
    if (value < minimum || value > maximum) {
      wrong(name, allowed, advice);
      return Double.NaN;
    }
    return value;
  }

  /** A plain number; NaN when it is missing or wrong. */
  public double number(String name, double minimum, double maximum, String advice) {
    String allowed = "a number from " + Decimals.text(minimum) + " to " + Decimals.text(maximum);
    Optional<String> text = scalar(name, allowed, advice);
    if (text.isEmpty()) {
      return Double.NaN;
    }
    boolean form = text.get().matches(Quantity.NUMBER);
    double value = form ? Double.parseDouble(text.get()) : Double.NaN;
    if (!(value >= minimum && value <= maximum)) {
      wrong(name, allowed, advice);
      return Double.NaN;
    }
    return value;
  }

  /** A whole number; the least allowed when it is missing or wrong. */
  public long integer(String name, long minimum, long maximum, String advice) {
    String allowed = "a whole number from " + minimum + " to " + maximum;
    Optional<String> text = scalar(name, allowed, advice);
    if (text.isEmpty()) {
      return minimum;
    }
    if (text.get().matches("[-+]?\\d{1,18}")) {
      long value = Long.parseLong(text.get());
      if (value >= minimum && value <= maximum) {
        return value;
      }
    }
    wrong(name, allowed, advice);
    return minimum;
  }

  /** One of some words; the first of them when it is missing or wrong. */
  public String choice(String name, List<String> words, String advice) {
    String allowed = words.size() == 1 ? words.get(0) : "one of " + String.join(", ", words);
    Optional<String> text = scalar(name, allowed, advice);
    if (text.isPresent() && words.contains(text.get())) {
      return text.get();
    }
    if (text.isPresent()) {
      String question = Spelling.question(text.get(), words);
      wrong(name, allowed, question.isEmpty() ? advice : question);
    }
    return words.get(0);
  }

  /** A constant of an enum, written in lower case with hyphens. */
  public <E extends Enum<E>> E choice(String name, Class<E> type, String advice) {
    E[] constants = type.getEnumConstants();
    List<String> words = Arrays.stream(constants).map(Section::word).toList();
    return constants[words.indexOf(choice(name, words, advice))];
  }

  /** How a constant is written in a file: {@code TWO_PANEL} as {@code two-panel}. */
  public static String word(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** A time zone by its name; UTC when it is missing or wrong. */
  public ZoneId zone(String name, String advice) {
    String allowed = "the name of a time zone such as America/Chicago";
    Optional<String> text = scalar(name, allowed, advice);
    if (text.isPresent()) {
      try {
        return ZoneId.of(text.get());
      } catch (DateTimeException e) {
        String question =
            Spelling.question(text.get(), ZoneId.getAvailableZoneIds().stream().sorted().toList());
        wrong(name, allowed, question.isEmpty() ? advice : question);
      }
    }
    return ZoneId.of("UTC");
  }

  /** Two times of day as {@code 22:00-06:00}; the whole day when it is missing or wrong. */
  public Site.MinuteSpan span(String name, String advice) {
    Optional<String> text = scalar(name, SPAN_ALLOWED, advice);
    if (text.isEmpty()) {
      return ALL_DAY;
    }
    Optional<Site.MinuteSpan> span = parseSpan(text.get());
    if (span.isEmpty()) {
      wrong(name, SPAN_ALLOWED, advice);
    }
    return span.orElse(ALL_DAY);
  }

  /** A list of spans of the day; at least one. */
  public List<Site.MinuteSpan> spans(String name, String advice) {
    List<Site.MinuteSpan> spans = new ArrayList<>();
    for (String text : texts(name, SPAN_ALLOWED, advice)) {
      Optional<Site.MinuteSpan> span = parseSpan(text);
      if (span.isEmpty()) {
        wrong(name, "\"" + text + "\"", SPAN_ALLOWED, advice);
      }
      span.ifPresent(spans::add);
    }
    return spans;
  }

  private static Optional<Site.MinuteSpan> parseSpan(String text) {
    Matcher parts = SPAN.matcher(text);
    if (!parts.matches()) {
      return Optional.empty();
    }
    int from = minute(parts.group(1));
    int to = minute(parts.group(2));
    boolean legal = from >= 0 && from < Spans.MINUTES_PER_DAY && to >= 0 && from != to;
    return legal ? Optional.of(new Site.MinuteSpan(from, to)) : Optional.empty();
  }

  /** Minutes after midnight; −1 when there is no such time. */
  private static int minute(String text) {
    if (text.equals("24:00")) {
      return Spans.MINUTES_PER_DAY;
    }
    try {
      return LocalTime.parse(text).toSecondOfDay() / 60;
    } catch (DateTimeParseException e) {
      return -1;
    }
  }

  /**
   * An ISO 8601 duration such as {@code PT2H30M}.
   *
   * @param minimum least allowed, in microseconds
   * @param standIn what to return when it is missing or wrong
   * @return in microseconds
   */
  public long duration(String name, long minimum, long standIn, String advice) {
    String allowed = durationAllowed(minimum);
    Optional<String> text = scalar(name, allowed, advice);
    if (text.isEmpty()) {
      return standIn;
    }
    OptionalLong micros = parseDuration(text.get(), minimum);
    if (micros.isEmpty()) {
      wrong(name, allowed, advice);
    }
    return micros.orElse(standIn);
  }

  /**
   * A list of ISO 8601 durations in microseconds; without those that are wrong.
   *
   * @param minimum least allowed, in microseconds
   */
  public List<Long> durations(String name, long minimum, String advice) {
    List<Long> durations = new ArrayList<>();
    String allowed = durationAllowed(minimum);
    for (String text : texts(name, allowed, advice)) {
      OptionalLong micros = parseDuration(text, minimum);
      if (micros.isEmpty()) {
        wrong(name, "\"" + text + "\"", allowed, advice);
      }
      micros.ifPresent(durations::add);
    }
    return durations;
  }

  private static String durationAllowed(long minimum) {
    return "an ISO 8601 duration such as PT2H30M, from "
        + Duration.ofNanos(Math.multiplyExact(minimum, 1000L))
        + " to "
        + MAXIMUM_DURATION;
  }

  private static OptionalLong parseDuration(String text, long minimum) {
    try {
      Duration duration = Duration.parse(text);
      boolean legal =
          duration.compareTo(MAXIMUM_DURATION) <= 0 && duration.toNanosPart() % 1000 == 0;
      if (legal && !duration.isNegative()) {
        long micros = duration.toNanos() / 1000;
        return micros >= minimum ? OptionalLong.of(micros) : OptionalLong.empty();
      }
    } catch (DateTimeParseException e) {
      // told by the caller, with the durations that are too short, too long or too fine
    }
    return OptionalLong.empty();
  }

  /** A file named relative to the folder of this one, that must exist. */
  public Optional<Path> existingFile(String name, String advice) {
    return existingFile(name, folder, advice);
  }

  /** A file named relative to a folder, that must exist. */
  public Optional<Path> existingFile(String name, Path folder, String advice) {
    String allowed = "the path of a file that exists, relative to this file's folder";
    Optional<String> text = scalar(name, allowed, advice);
    if (text.isEmpty()) {
      return Optional.empty();
    }
    Path there = InputFile.beside(folder, text.get());
    if (!Files.isRegularFile(there)) {
      wrong(
          name,
          "\"" + text.get() + "\", and there is no file " + InputFile.shown(there),
          allowed,
          advice);
      return Optional.empty();
    }
    return Optional.of(there);
  }

  /** A list of texts, each once; empty when it is missing or wrong. */
  public List<String> texts(String name, String allowed, String advice) {
    List<String> texts = new ArrayList<>();
    for (Yaml item : sequence(name, "a list: " + allowed, advice)) {
      if (item instanceof Yaml.Scalar scalar && !scalar.text().isEmpty()) {
        texts.add(scalar.text());
      } else {
        wrong(name, "\"" + shortened(item.inMessage()) + "\" in the list", allowed, advice);
      }
    }
    return texts;
  }

  /** Values that take the place of those in another file: dotted paths and what to put there. */
  public List<Setting> settings(String name, String advice) {
    return section(name, advice, Section::asSettings);
  }

  private List<Setting> asSettings() {
    List<Setting> settings = new ArrayList<>();
    for (String path : names()) {
      Optional<Yaml> value = value(path);
      if (value.isEmpty()) {
        wrong(path, "the value to put there", "");
      }
      value.ifPresent(v -> settings.add(new Setting(path, v.oneLine(), file(path), line(path))));
    }
    return settings;
  }

  /** A part with fields of its own. */
  public <T> T section(String name, String advice, Function<Section, T> reader) {
    String allowed = "a group of fields";
    Optional<Yaml> value = required(name, allowed, advice);
    if (value.isPresent() && value.get() instanceof Yaml.Mapping mapping) {
      return new Section(mapping, pathOf(name), folder, problems).finish(reader);
    }
    if (value.isPresent()) {
      wrong(name, allowed, advice);
    }
    return standIn(reader);
  }

  /**
   * A part with fields of its own that is missing as a whole: its fields are not told one by one.
   */
  private <T> T standIn(Function<Section, T> reader) {
    Yaml.Mapping nothing = new Yaml.Mapping(Map.of(), fields.at());
    return reader.apply(new Section(nothing, path, folder, new Problems()));
  }

  /** A list of parts, each with fields of its own; empty when it is missing or wrong. */
  public <T> List<T> sections(String name, String advice, Function<Section, T> reader) {
    String allowed = "a list of groups of fields";
    List<T> results = new ArrayList<>();
    int number = 0;
    for (Yaml item : sequence(name, allowed, advice)) {
      number++;
      if (item instanceof Yaml.Mapping mapping) {
        String label = pathOf(name) + "." + Settings.label(mapping, String.valueOf(number));
        results.add(new Section(mapping, label, folder, problems).finish(reader));
      } else {
        String found = "\"" + shortened(item.inMessage()) + "\"";
        Location at = item.at();
        problems.add(new Problem(at.file(), at.line(), pathOf(name), found, allowed, advice));
      }
    }
    return results;
  }

  /**
   * A field that is given once or as a list of the like.
   *
   * @param reader reads the field of the same name from a part that holds one of the values
   * @return one result for each value, in the file's order; empty when the list is
   */
  public <T> List<T> oneOrMore(String name, Function<Section, T> reader) {
    known.add(name);
    if (value(name).isPresent() && value(name).get() instanceof Yaml.Sequence sequence) {
      List<T> results = new ArrayList<>();
      for (Yaml item : sequence.items()) {
        Yaml.Mapping one =
            new Yaml.Mapping(Map.of(name, new Yaml.Field(item.at(), item)), item.at());
        results.add(new Section(one, path, folder, problems).finish(reader));
      }
      if (results.isEmpty()) {
        wrong(name, "an empty list", "one value or more", "");
      }
      return results;
    }
    return List.of(reader.apply(this));
  }

  private Optional<String> scalar(String name, String allowed, String advice) {
    Optional<Yaml> value = required(name, allowed, advice);
    if (value.isPresent() && value.get() instanceof Yaml.Scalar scalar) {
      return Optional.of(scalar.text());
    }
    if (value.isPresent()) {
      wrong(name, allowed, advice);
    }
    return Optional.empty();
  }

  private List<Yaml> sequence(String name, String allowed, String advice) {
    Optional<Yaml> value = required(name, allowed, advice);
    if (value.isPresent() && value.get() instanceof Yaml.Sequence sequence) {
      return sequence.items();
    }
    if (value.isPresent()) {
      wrong(name, allowed, advice);
    }
    return List.of();
  }

  private Optional<Yaml> required(String name, String allowed, String advice) {
    known.add(name);
    Optional<Yaml> value = value(name);
    if (value.isEmpty()) {
      Location at = at(name);
      missing.put(
          name, new Problem(at.file(), at.line(), pathOf(name), "nothing", allowed, advice));
    }
    return value;
  }

  private Optional<Yaml> value(String name) {
    return Settings.find(fields, name)
        .map(Yaml.Field::value)
        .filter(v -> !(v instanceof Yaml.Scalar scalar && scalar.text().isEmpty()));
  }

  private Location at(String name) {
    return Settings.find(fields, name).map(Yaml.Field::name).orElse(fields.at());
  }

  private String pathOf(String name) {
    String below = Settings.shown(fields, name);
    return path.isEmpty() ? below : path + "." + below;
  }

  static String shortened(String text) {
    return text.length() <= 60 ? text : text.substring(0, 57) + "...";
  }
}
