package islet.bench;

import java.util.List;

/**
 * How an event that a person can let happen at once is written: its fields, what each allows and a
 * value to begin with. {@link EventReader} reads what this describes; a test holds the two to each
 * other.
 *
 * @param name the event's own field, which says what kind it is
 * @param title for people
 * @param group under which it stands: {@code utility}, {@code sky} or {@code load}
 * @param fields the event's own field first
 */
public record EventForm(String name, String title, String group, List<Field> fields) {
  public EventForm {
    fields = List.copyOf(fields);
  }

  /** How a field's value is written. */
  public enum Form {
    /** A plain number. */
    NUMBER,
    /** A number with its unit behind a blank. */
    QUANTITY,
    /** An ISO 8601 duration. */
    DURATION,
    /** A list of these. */
    DURATIONS
  }

  /**
   * A field.
   *
   * @param minimum of the value, s for durations
   * @param maximum of the value, s for durations
   * @param usual a value to begin with, as it is written; invented
   * @param unit as it is written behind a quantity, and shown behind a number
   * @param required whether it may be left out
   */
  public record Field(
      String name,
      Form form,
      double minimum,
      double maximum,
      String usual,
      String unit,
      boolean required,
      String meaning) {}

  /** Longer than any class or drill lasts; the reader itself allows more. */
  private static final double WEEK_S = 604_800;

  private static final double SHORTEST_S = 1e-6;

  /** What can befall the utility. */
  public static final List<EventForm> UTILITY =
      List.of(
          new EventForm(
              "outage",
              "Outage",
              "utility",
              List.of(
                  lasting("outage", "PT5M", "how long the utility is gone"),
                  new Field(
                      "returnAngle",
                      Form.QUANTITY,
                      -180,
                      180,
                      "0 deg",
                      "deg",
                      false,
                      "by how much its angle has moved when it is back"))),
          new EventForm(
              "sag",
              "Sag",
              "utility",
              List.of(
                  ratio("sag", 0, 1, "0.6", "voltage that is left"),
                  lasting("for", "PT0.4S", "for how long"))),
          new EventForm(
              "swell",
              "Swell",
              "utility",
              List.of(
                  ratio("swell", 1.001, 2, "1.15", "voltage, of nominal"),
                  lasting("for", "PT1S", "for how long"))),
          new EventForm(
              "brownOut",
              "Brown-out",
              "utility",
              List.of(
                  ratio("brownOut", 0, 1, "0.85", "voltage that is left"),
                  lasting("fall", "PT1M", "how long it sinks"),
                  lasting("for", "PT5M", "how long it stays low"),
                  lasting("rise", "PT1M", "how long it comes back"))),
          new EventForm(
              "frequency",
              "Frequency step",
              "utility",
              List.of(
                  new Field(
                      "frequency",
                      Form.QUANTITY,
                      40,
                      75,
                      "61.5 Hz",
                      "Hz",
                      true,
                      "what it jumps to"),
                  lasting("for", "PT30S", "for how long"))),
          new EventForm(
              "frequencyRamp",
              "Frequency ramp",
              "utility",
              List.of(
                  new Field(
                      "frequencyRamp",
                      Form.QUANTITY,
                      40,
                      75,
                      "61.5 Hz",
                      "Hz",
                      true,
                      "what it moves to"),
                  new Field(
                      "rate",
                      Form.QUANTITY,
                      0.001,
                      100,
                      "0.5 Hz/s",
                      "Hz/s",
                      true,
                      "how fast, both ways"),
                  lasting("for", "PT30S", "how long it stays there"))),
          new EventForm(
              "phaseJump",
              "Phase jump",
              "utility",
              List.of(
                  new Field(
                      "phaseJump",
                      Form.QUANTITY,
                      -180,
                      180,
                      "30 deg",
                      "deg",
                      true,
                      "by how much its angle jumps, to stay so"))),
          new EventForm(
              "reclose",
              "Re-closing breaker",
              "utility",
              List.of(
                  new Field(
                      "reclose",
                      Form.DURATIONS,
                      SHORTEST_S,
                      WEEK_S,
                      "PT0.5S, PT0.3S, PT15S",
                      "",
                      true,
                      "lengths of off, on, off and so on, an odd number of them"))));

  /** What can befall any site by hand. */
  public static final List<EventForm> ANYWHERE =
      List.of(
          new EventForm(
              "cloud",
              "Cloud",
              "sky",
              List.of(
                  new Field(
                      "cloud",
                      Form.NUMBER,
                      0,
                      1,
                      "0.2",
                      "",
                      true,
                      "share of the light that is left"),
                  lasting("for", "PT1M", "for how long"))),
          new EventForm(
              "loadStep",
              "Load step",
              "load",
              List.of(
                  new Field(
                      "loadStep",
                      Form.QUANTITY,
                      -1e6,
                      1e6,
                      "500 W",
                      "W",
                      true,
                      "what the emergency panel's loads want beside what they want anyway; below 0"
                          + " for less"),
                  lasting("for", "PT1M", "for how long"))));

  private static Field lasting(String name, String usual, String meaning) {
    return new Field(name, Form.DURATION, SHORTEST_S, WEEK_S, usual, "", true, meaning);
  }

  private static Field ratio(
      String name, double minimum, double maximum, String usual, String meaning) {
    return new Field(name, Form.NUMBER, minimum, maximum, usual, "pu", true, meaning);
  }
}
