package islet.bench;

/**
 * What a hazard says as a formula, and where its bounds come from: for people, beside the code that
 * judges it.
 *
 * @param formula in the symbols of {@code islet.bench.margin}
 * @param words the same, read aloud
 * @param bound what the bounds are and their sources
 * @param units of the margin
 * @param trippedBy what can trip it: which fault with which slip of a supervisor
 */
public record HazardNote(
    String formula, String words, String bound, String units, String trippedBy) {

  /**
   * The note to a hazard.
   *
   * @throws IllegalArgumentException when there is none
   */
  public static HazardNote of(String id) {
    return switch (id) {
      case Backfeed.ID ->
          new HazardNote(
              "□ ◇[0,T] ¬dead-line-fed ∧ ⋀ᵢ □ ◇[0,Tᵢ] ¬(feeding ∧ beyond limit i)",
              "The utility's line never carries this site's voltage for longer than T while the"
                  + " utility's own source is open, and the inverter never feeds a live utility"
                  + " beyond limit i of the profile for longer than its clearing time Tᵢ.",
              "T: the profile's detection time, 2 s at the most (IEEE Std 1547-2018, 8.1, from"
                  + " memory). Limits and Tᵢ: the profile (Tables 11 to 13 and 18, from memory)."
                  + " Below 1 V and 1 W nothing is fed (common practice).",
              "s: time left at the longest stay, a time robustness",
              "A welded tie or an auxiliary contact that lies, with an inverter that is ordered to"
                  + " form before the opening is proven; an outage with a matched load that is not"
                  + " found.");
      case OutOfSyncClose.ID ->
          new HazardNote(
              "□ (close ∧ both sides live → |ΔV| ≤ V ∧ |Δf| ≤ F ∧ |Δθ| ≤ Θ)",
              "Whenever the tie's contact closes with more than 0.1 pu on both sides, the"
                  + " differences of the instant before are within the limits, or would be but for"
                  + " what has happened in the last R.",
              "V, F, Θ: the profile (IEEE Std 1547-2018, Table 5, from memory). 0.1 pu: a dead side"
                  + " (common practice). R: the tie's operating time and the time in which it sees"
                  + " a loss; a contact so near its end cannot be called back.",
              "pu, Hz or °: of the difference that is nearest to its limit, as a share of it",
              "A close without a sync check, or on an old one, into an island that has drifted.");
      case EarlyReturn.ID ->
          new HazardNote(
              "□ (close ∧ utility live → θ⁻(in band, as of R ago) ≥ D)",
              "Whenever the contact closes onto a live utility, the utility has held the"
                  + " enter-service band for D without a break that is older than R.",
              "Band and D: the profile (IEEE Std 1547-2018, Table 4, from memory). What was before"
                  + " the run counts as in band for exactly D. R: the tie's operating time and the"
                  + " time in which it sees a loss; a contact so near its end cannot be called"
                  + " back.",
              "s: left time robustness of the band at the close, less D",
              "A delay that is not begun anew when the utility leaves the band, or that is left out"
                  + " after a restart or an order to return.");
      case Overcharge.ID ->
          new HazardNote(
              "□ ◇[0,T] (v ≤ V) ∧ □ ◇[0,T] (i ≤ I) ∧ □ ◇[0,T] (charging → C₁ ≤ ϑ ≤ C₂)",
              "The battery is above its voltage or its charge current, or is charged too cold or"
                  + " too warm, for no longer than T.",
              "V, I, C₁, C₂, T: the battery's limits in the site's file. Charging: above 1 % of the"
                  + " 20-hour capacity, lithium 0.1 % (common practice).",
              "V, A or °C: the lowest value that lasted longer than T; tightest by 5 % of nominal"
                  + " voltage, the current limit and 10 K",
              "Two sources whose set points add up to more than the limit; a sign or a bias of a"
                  + " sensor that nobody votes down; a missing compensation in the cold.");
      case DeepDischarge.ID ->
          new HazardNote(
              "□ ◇[0,T] (serving → SoC ≥ S) ∧ □ ◇[0,T] (serving → v ≥ V)",
              "While the battery gives current and the inverter feeds the emergency panel, charge"
                  + " and voltage are not below floor and disconnect voltage for longer than T.",
              "S, V: the battery's limits in the site's file. T: its tolerance and 2 s, two"
                  + " telemetry periods (common practice).",
              "SoC or V: the lowest value that lasted longer than T; tightest by 0.1 and 5 % of"
                  + " nominal voltage",
              "A long outage with a state of charge that is counted too high, or with shedding that"
                  + " does not come.");
      case LostLoad.ID ->
          new HazardNote(
              "⋀ⱼ □ ◇[0,Tⱼ] ¬(owed ∧ beyond band j) ∧ □ ◇[0,R] ¬(owed again ∧ out)",
              "While there is energy for the emergency panel and a healthy path, its voltage is"
                  + " beyond band j for no longer than Tⱼ; when energy or path have come back, within"
                  + " R after a fault has tripped the inverter, within R after the panel has come"
                  + " back as long as no inverter has run since, and when the tie's own voltmeter"
                  + " does not show that the utility is gone, it is out for no longer than R. A path"
                  + " is there again after a tie that stuck when a person has looked at it and the"
                  + " supervisor has been told; there is none for a panel that is out behind an open"
                  + " tie whose reports nobody can read, and so can prove nothing.",
              "Bands and Tⱼ: ITI (CBEMA) curve application note, 2000 (from memory); where the site"
                  + " rides sags through, the profile's voltage limits and clearing times, and the"
                  + " verdict says so. R: the site's own time-outs to open, start and form.",
              "s: time left at the longest stay, as a share of its bound the tightest",
              "An inverter that does not start; a start that waits for what does not come; shedding"
                  + " the wrong circuits; a black start that nobody orders.");
      case ForbiddenExport.ID ->
          new HazardNote(
              "□ ◇[0,T] (export → P_export ≤ P + tolerance)",
              "Power that leaves the site is above what is permitted at that hour for no longer"
                  + " than T.",
              "P: the site's export limit within its export windows, else 0. Tolerance: 2 % of the"
                  + " inverter's rating, 50 W at least; T: 2 s (both common practice).",
              "W: the lowest value that lasted longer than T",
              "A feed that is not cut when a window ends or a load drops off; a sign that is wrong.");
      case TwoMasters.ID ->
          new HazardNote(
              "□ (obeyed(s) → ⋀ over s′ ≠ s: ¬in force(s′)) ∧ □ ◇[0,C] ¬two sources",
              "Whenever a device acts on a command of one sender, no command of another sender on"
                  + " which any device acted is still within its lifetime; and the inverter forms"
                  + " on a panel that the utility holds for no longer than C.",
              "Lifetime: each command's own. C: 20 ms, one cycle of 50 Hz, in which a contact is"
                  + " read (common practice).",
              "s: from the end of the other's force to the command that was obeyed; time left of C",
              "A second supervisor that does not notice the first; an auxiliary contact that lies.");
      case StaleCommand.ID ->
          new HazardNote(
              "□ (acted on c → now ≤ made(c) + lifetime(c))",
              "Whenever a device accepts a command, or has done it without having accepted it, the"
                  + " command is within its lifetime by true time.",
              "Lifetime: each command's own, as the site sets it.",
              "s: lifetime left at the latest answer",
              "Messages that are delayed, repeated or kept by a broker; a clock that is wrong.");
      case WrongPicture.ID ->
          new HazardNote(
              "□ ◇[0,T] ¬(told ≠ plant ∧ ¬alarm of doubt)",
              "Mode and tie position as the supervisor tells them differ from the plant's for no"
                  + " longer than T, unless an alarm says that they are in doubt.",
              "T: 2 s (bench's own), and what a fault of the supervisor's own link holds a message up"
                  + " there and back. What was told stands for one heartbeat.",
              "s: time left at the longest stay, a time robustness",
              "A contact that lies with nobody to contradict it; a supervisor that takes its order"
                  + " for the deed.");
      case Chatter.ID ->
          new HazardNote(
              "□ (moves of the last hour ≤ "
                  + Chatter.MOVES
                  + ") ∧ □ (starts of the last hour ≤ "
                  + Chatter.STARTS
                  + ") ∧ □ (stage changes of the last hour ≤ "
                  + Chatter.STAGES
                  + ")",
              "No hour holds more moves of the switch, starts of the inverter or changes of the"
                  + " charge stage than so many.",
              "All three common practice: five disturbances an hour, each left and returned from;"
                  + " starts as motors and their controllers are rated; a whole charge and back,"
                  + " under clouds.",
              "1: the count that is left, as a share of its bound the smallest",
              "A hysteresis or a delay that is lost; a start that is tried again and again.");
      case "silent-fault" ->
          new HazardNote(
              "□ (fault that matters → ◇[0,T] alarm) ∧ (no fault → □ ¬alarm)",
              "Each fault that is injected and matters has raised an alarm T later, and a healthy"
                  + " run rings none.",
              "T: by class of fault; the catalogue of faults states it.",
              "s: time left at the latest alarm",
              "Whatever a supervisor does not look at.");
      case UnpaidCharge.ID ->
          new HazardNote(
              "□ (∫ over the last 24 h of P_charge while ¬cause ≤ E)",
              "No 24 hours hold more energy, charged from the utility without a cause, than E."
                  + " Causes: an open window whose goal is not reached, a charge below the hour's or"
                  + " a warning's reserve, a person's order, a plan by prices, devices left to"
                  + " themselves, a next window that is not trusted.",
              "Windows, goals, reserves: the site's file; both doubted by five points of charge"
                  + " (common practice for shunt-based estimates). E: 5 % of the bank's nominal"
                  + " energy, the same five points.",
              "kWh: what is left of E in the fullest 24 hours",
              "A window that never ends, a goal or a reserve that is not looked at, a state of"
                  + " charge that is counted too low.");
      default ->
          throw new IllegalArgumentException(
              "the hazard " + id + " has no note; write one beside the others");
    };
  }
}
