package islet.live.page;

import java.util.List;
import java.util.Map;

/**
 * What the page needs and cannot learn from the wire, as it is written in JSON: the records' names
 * are the fields' names. An empty text or list means that there is none.
 *
 * @param run counts the runs of this process
 * @param scenario the name of what is played
 * @param alone whether it is a site without a scenario
 * @param startAt when the run began, in site time
 * @param endAt when it is over, in site time
 * @param topics what the site's topics begin with
 * @param bench whether the bench speaks and takes commands
 * @param parts of the one-line diagram, those that are there
 * @param waits what rows of the mode machine wait for by time
 * @param signals the plant's truth
 * @param mode {@code live}; {@code recording} for a run that is over and stands in a folder; {@code
 *     site} for one that runs elsewhere and is only looked at
 */
record Description(
    long run,
    String scenario,
    String title,
    boolean alone,
    String startAt,
    String endAt,
    SignIn mqtt,
    String topics,
    boolean bench,
    SiteView site,
    List<String> parts,
    List<SettingView> settings,
    List<PhaseView> phases,
    List<RowView> rows,
    List<WaitView> waits,
    List<String> modes,
    List<AlarmView> alarms,
    List<HazardView> hazards,
    List<FaultView> faults,
    List<EventView> events,
    List<OrderView> orders,
    List<BenchOrderView> benchOrders,
    List<PieceView> scenarios,
    List<LessonView> lessons,
    Map<String, List<String>> roles,
    List<SignalView> signals,
    String mode) {

  record SiteView(
      String id,
      String name,
      String zone,
      String arrangement,
      boolean utility,
      boolean tie,
      String changeover,
      boolean charger,
      boolean mayFeed,
      List<String> panels,
      double nominalVoltageV,
      double nominalFrequencyHz,
      String currency,
      PvView pv,
      RegulatorView regulator,
      BatteryView battery,
      double chargerA,
      InverterView inverter,
      List<CircuitView> circuits) {}

  record PvView(int series, int parallel, double peakW, double tiltDeg, double azimuthDeg) {}

  record RegulatorView(String kind, double ratedA) {}

  record BatteryView(String chemistry, double nominalV, int cells, double capacity20hAh) {}

  record InverterView(double ratedW, double surgeW, double ratedChargeA) {}

  /**
   * A circuit.
   *
   * @param shed its place in the order of shedding, from 1; 0 for never
   */
  record CircuitView(String name, String panel, int shed) {}

  /**
   * A set point or limit.
   *
   * @param on the signal in whose strip it is a line; empty for none
   */
  record SettingView(String name, String title, double value, String unit, String on) {}

  record PhaseView(String name, String mode, String meaning, double limitS) {}

  record RowView(int no, String from, String on, String to, String doing) {}

  record WaitView(String name, String what) {}

  record AlarmView(String id, String priority, String text, String consequence, String action) {}

  record HazardView(String id, String title, String words, String bound, String units) {}

  record FaultView(
      String kind,
      String family,
      String familyTitle,
      String effect,
      String duty,
      boolean playable,
      List<TargetView> targets,
      List<NumberView> numbers,
      List<String> ways) {}

  record TargetView(String device, List<String> signals) {}

  record NumberView(String name, double minimum, double maximum, double usual, String meaning) {}

  record EventView(String name, String title, String form, List<FieldView> fields) {}

  record FieldView(
      String name,
      String kind,
      double minimum,
      double maximum,
      String usual,
      String unit,
      boolean required,
      String meaning) {}

  /** An order; a longest time of 0 means that no time is asked for. */
  record OrderView(
      String order,
      String meaning,
      String key,
      String keyMeaning,
      List<String> keys,
      double longestS,
      double usualS,
      boolean grave) {}

  /** An order to the bench; a maximum of 0 means that no number is asked for. */
  record BenchOrderView(
      String order, String meaning, double minimum, double maximum, double usual, String text) {}

  record PieceView(
      String id, String title, String site, String arrangement, String group, boolean playable) {}

  record LessonView(String name, String title, List<String> scenarios) {}

  record SignalView(String name, String unit, int decimals, List<String> words, String field) {}
}
