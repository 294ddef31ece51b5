package islet.control;

import static islet.control.Phase.CARRY;
import static islet.control.Phase.CLOSE_ON_DEAD_PANEL;
import static islet.control.Phase.CLOSE_TIE;
import static islet.control.Phase.CONNECTED;
import static islet.control.Phase.FORM;
import static islet.control.Phase.LISTEN;
import static islet.control.Phase.OPEN_TIE;
import static islet.control.Phase.SYNCHRONISE;
import static islet.control.Phase.UNLOAD_TIE;
import static islet.control.Phase.UNSUPPLIED;
import static islet.control.Phase.WAIT_FOR_PERSON;

import java.util.ArrayList;
import java.util.List;

/**
 * The mode machine, declared. In each scan the lines of the present phase are read from top to
 * bottom, and the first whose condition holds is taken. The table in the documents and the picture
 * are made from these lines.
 *
 * <p>The four transitions of IEEE Std 2030.7: unplanned disconnect (utility lost, OPEN_TIE, FORM,
 * CARRY), planned disconnect (operator, UNLOAD_TIE, then the same steps), reconnect (SYNCHRONISE,
 * CLOSE_TIE), black start (UNSUPPLIED, FORM, CARRY).
 */
public final class ModeTable {

  private static final List<ModeRow> ROWS =
      new Rows()
          .when(LISTEN)
          .on(
              "the reports contradict each other",
              Situation::contradiction,
              WAIT_FOR_PERSON,
              "alarm CONTRADICTION",
              Situation::alarmContradiction)
          .on(
              "the devices report: tie open, inverter carries the panel",
              Situation::foundIslanded,
              CARRY)
          .on(
              "the devices report: tie closed, utility present",
              Situation::foundConnected,
              CONNECTED)
          .on("the devices report: tie closed, utility gone", Situation::foundLost, OPEN_TIE)
          .on(
              "changeover by hand stands on a dead utility",
              Situation::strandedByHand,
              UNSUPPLIED,
              "alarm SWITCH_BY_HAND",
              Situation::alarmStranded)
          .on(
              "inverter silent, panel found live behind the open tie",
              Situation::foundCarriedAtStart,
              CARRY)
          .on("the devices report: tie open, panel dead", Situation::foundDark, UNSUPPLIED)
          .on(
              "tie says closed, but its two sides differ",
              Situation::contactLies,
              WAIT_FOR_PERSON,
              "alarm TIE_DOUBTFUL",
              Situation::alarmDoubtful)
          .when(CONNECTED)
          .on(
              "no valid battery voltage",
              Situation::blind,
              WAIT_FOR_PERSON,
              "alarm NO_BATTERY_VOLTAGE",
              Situation::alarmBlind)
          .on(
              "tie says closed, but its two sides differ",
              Situation::contactLies,
              WAIT_FOR_PERSON,
              "alarm TIE_DOUBTFUL",
              Situation::alarmDoubtful)
          .on("tie closed, inverter forms", Situation::formsBehindClosedTie, OPEN_TIE)
          .on("tie opened by its own protection: utility lost", Situation::tieOpened, OPEN_TIE)
          .on(
              "utility lost behind a changeover by hand",
              Situation::strandedByHand,
              UNSUPPLIED,
              "alarm SWITCH_BY_HAND",
              Situation::alarmStranded)
          .on("utility lost", Situation::utilityLost, OPEN_TIE)
          .on(
              "operator asks to leave the utility, and the inverter can take the panel's power first",
              Situation::mayUnloadAsAsked,
              UNLOAD_TIE)
          .on("operator asks to leave the utility", Situation::mayLeaveAsAsked, OPEN_TIE)
          .on("battery preferred, and charged enough", Situation::mayLeaveForBattery, OPEN_TIE)
          .when(UNLOAD_TIE)
          .on("tie opened by its own protection: utility lost", Situation::tieOpened, OPEN_TIE)
          .on("utility lost", Situation::utilityLost, OPEN_TIE)
          .on(
              "request taken back, or the battery or inverter no longer able",
              Situation::mayNotLeaveAsAsked,
              CONNECTED)
          .on("tie carries no power", Situation::tieUnloaded, OPEN_TIE)
          .on("tie not unloaded in time: it opens under load", Situation::unloadTimedOut, OPEN_TIE)
          .when(OPEN_TIE)
          .on(
              "tie proven open, battery at its floor",
              Situation::provenOpenButEmpty,
              UNSUPPLIED,
              "alarm BATTERY_LOW",
              Situation::alarmEmpty)
          .on("tie proven open", Situation::provenOpen, FORM)
          .on(
              "tie open, but the utility side carries our voltage",
              Situation::doubtfulTie,
              WAIT_FOR_PERSON,
              "alarm TIE_DOUBTFUL",
              Situation::alarmDoubtful)
          .on(
              "tie silent, inverter carries the panel behind its wired interlock",
              Situation::carriedBehindSilentTie,
              CARRY)
          .on(
              "tie not proven open in time",
              Situation::openTimedOut,
              WAIT_FOR_PERSON,
              "alarm TIE_NOT_OPEN",
              Situation::alarmNotOpen)
          .when(FORM)
          .on("changeover switch moved to the utility", Situation::movedToUtility, CONNECTED)
          .on(
              "changeover by hand moved to a dead utility",
              Situation::strandedByHand,
              UNSUPPLIED,
              "alarm SWITCH_BY_HAND",
              Situation::alarmStranded)
          .on("tie no longer open", Situation::tieClosedAgain, OPEN_TIE)
          .on(
              "tie says open, but the utility side carries our voltage",
              Situation::doubtfulTie,
              WAIT_FOR_PERSON,
              "alarm TIE_DOUBTFUL",
              Situation::alarmDoubtful)
          .on("inverter carries the panel", Situation::islandAlive, CARRY)
          .on(
              "inverter tripped",
              Situation::inverterTripped,
              UNSUPPLIED,
              "alarm INVERTER_TRIPPED",
              Situation::alarmTripped)
          .on(
              "inverter did not form in time",
              Situation::formTimedOut,
              UNSUPPLIED,
              "alarm INVERTER_NOT_FORMING",
              Situation::alarmNotForming)
          .when(CARRY)
          .on("changeover switch moved to the utility", Situation::movedToUtility, CONNECTED)
          .on(
              "changeover by hand moved to a dead utility",
              Situation::strandedByHand,
              UNSUPPLIED,
              "alarm SWITCH_BY_HAND",
              Situation::alarmStranded)
          .on("tie found closed without an order", Situation::tieClosedAgain, OPEN_TIE)
          .on(
              "tie says open, but the utility side carries our voltage",
              Situation::doubtfulTie,
              WAIT_FOR_PERSON,
              "alarm TIE_DOUBTFUL",
              Situation::alarmDoubtful)
          .on(
              "no valid battery voltage",
              Situation::blind,
              WAIT_FOR_PERSON,
              "alarm NO_BATTERY_VOLTAGE",
              Situation::alarmBlind)
          .on(
              "battery at its floor",
              Situation::batteryEmpty,
              UNSUPPLIED,
              "alarm BATTERY_LOW",
              Situation::alarmEmpty)
          .on(
              "inverter tripped",
              Situation::inverterTripped,
              UNSUPPLIED,
              "alarm INVERTER_TRIPPED",
              Situation::alarmTripped)
          .on(
              "inverter no longer forms",
              Situation::notFormingForLong,
              UNSUPPLIED,
              "alarm INVERTER_NOT_FORMING",
              Situation::alarmNotForming)
          .on("utility qualified", Situation::mayReconnect, SYNCHRONISE)
          .on(
              "battery preferred, but down to the reserve; utility qualified",
              Situation::mayReturnAtReserve,
              SYNCHRONISE)
          .when(SYNCHRONISE)
          .on("tie found closed without an order", Situation::tieClosedAgain, OPEN_TIE)
          .on(
              "battery at its floor",
              Situation::batteryEmpty,
              UNSUPPLIED,
              "alarm BATTERY_LOW",
              Situation::alarmEmpty)
          .on(
              "inverter tripped",
              Situation::inverterTripped,
              UNSUPPLIED,
              "alarm INVERTER_TRIPPED",
              Situation::alarmTripped)
          .on(
              "utility no longer qualified, or a hold or request to stay away",
              Situation::mayNotReconnect,
              CARRY)
          .on("in step with the utility", Situation::inStep, CLOSE_TIE)
          .on(
              "not in step in time",
              Situation::synchroniseTimedOut,
              CARRY,
              "alarm SYNC_TIMEOUT, wait before the next try",
              Situation::alarmSync)
          .when(CLOSE_TIE)
          .onReturn("tie closed, inverter follows", Situation::connectedAgain)
          .on("utility no longer qualified, tie still open", Situation::lostWhileClosing, CARRY)
          .on("utility lost", Situation::utilityLost, OPEN_TIE)
          .on("no longer in step, tie still open", Situation::outOfStep, SYNCHRONISE)
          .on("tie closed, inverter still forms", Situation::closedButForming, OPEN_TIE)
          .onReturn("tie closed, inverter not heard of since", Situation::closedUnheard)
          .onReturn(
              "tie silent, but the utility carries the panel", Situation::servedBehindSilentSwitch)
          .on(
              "tie not closed in time",
              Situation::closeTimedOut,
              CARRY,
              "alarm TIE_NOT_CLOSED, wait before the next try",
              Situation::alarmNotClosed)
          .when(CLOSE_ON_DEAD_PANEL)
          .onReturn("tie closed, utility carries the panels", Situation::connectedAgain)
          .onReturn("tie closed, inverter not heard of since", Situation::closedUnheard)
          .onReturn(
              "tie silent, but the utility carries the panel", Situation::servedBehindSilentSwitch)
          .on("utility no longer qualified, or a hold", Situation::mayNotReconnect, UNSUPPLIED)
          .on(
              "tie not closed in time",
              Situation::closeTimedOut,
              UNSUPPLIED,
              "alarm TIE_NOT_CLOSED, wait before the next try",
              Situation::alarmNotClosed)
          .when(UNSUPPLIED)
          .on(
              "tie says open, but the panel lives and nobody forms it",
              Situation::doubtfulTie,
              WAIT_FOR_PERSON,
              "alarm TIE_DOUBTFUL",
              Situation::alarmDoubtful)
          .on(
              "inverter silent, panel found live behind the open tie",
              Situation::foundCarried,
              CARRY)
          .on(
              "tie says closed, but its two sides differ",
              Situation::contactLies,
              WAIT_FOR_PERSON,
              "alarm TIE_DOUBTFUL",
              Situation::alarmDoubtful)
          .onReturn("tie found closed, utility present", Situation::foundConnected)
          .on("tie found closed, utility gone", Situation::foundLost, OPEN_TIE)
          .on("utility qualified, panel dead", Situation::mayCloseOnDeadPanel, CLOSE_ON_DEAD_PANEL)
          .on("battery recovered, tie proven open: black start", Situation::mayBlackStart, FORM)
          .when(WAIT_FOR_PERSON)
          .on("operator resets", Situation::resetAsked, LISTEN)
          .rows();

  private static final ModeRow[][] BY_PHASE = byPhase();

  private ModeTable() {}

  private static ModeRow[][] byPhase() {
    ModeRow[][] out = new ModeRow[Phase.values().length][];
    for (Phase phase : Phase.values()) {
      out[phase.ordinal()] = ROWS.stream().filter(r -> r.from() == phase).toArray(ModeRow[]::new);
    }
    return out;
  }

  /** All lines in their order. */
  public static List<ModeRow> rows() {
    return ROWS;
  }

  static ModeRow[] rows(Phase phase) {
    return BY_PHASE[phase.ordinal()];
  }

  /** Gathers the lines as they are read. */
  private static final class Rows {
    private final List<ModeRow> gathered = new ArrayList<>();
    private Phase from = LISTEN;

    Rows when(Phase phase) {
      from = phase;
      return this;
    }

    /** A return to the utility, after which power rises by the profile's ramp. */
    Rows onReturn(String on, ModeRow.Condition condition) {
      return on(on, condition, CONNECTED, "begin the power ramp", Situation::beginRamp);
    }

    Rows on(String on, ModeRow.Condition condition, Phase to) {
      return on(on, condition, to, "", s -> {});
    }

    Rows on(String on, ModeRow.Condition condition, Phase to, String doing, ModeRow.Action action) {
      gathered.add(new ModeRow(from, on, condition, to, doing, action));
      return this;
    }

    List<ModeRow> rows() {
      return List.copyOf(gathered);
    }
  }
}
