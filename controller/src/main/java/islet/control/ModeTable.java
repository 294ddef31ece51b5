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
 * are made from these lines. What a line waits for by time is declared beside it, for whoever looks
 * on; its condition asks the same counts.
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
          .waits(Wait.REPORTS)
          .on(
              "the devices report: tie open, inverter carries the panel",
              Situation::foundIslanded,
              CARRY)
          .waits(Wait.REPORTS)
          .on(
              "the devices report: tie closed, utility present",
              Situation::foundConnected,
              CONNECTED)
          .waits(Wait.REPORTS)
          .on("the devices report: tie closed, utility gone", Situation::foundLost, OPEN_TIE)
          .waitsWhere(Situation::movesByItself, Wait.REPORTS, Wait.CLEARING)
          .on(
              "changeover by hand stands on a dead utility",
              Situation::strandedByHand,
              UNSUPPLIED,
              "alarm SWITCH_BY_HAND",
              Situation::alarmStranded)
          .waitsWhere(Situation::byHand, Wait.CLEARING)
          .on(
              "inverter silent, panel found live behind the open tie",
              Situation::foundCarriedAtStart,
              CARRY)
          .waits(Wait.REPORTS)
          .on("the devices report: tie open, panel dead", Situation::foundDark, UNSUPPLIED)
          .waits(Wait.REPORTS)
          .on(
              "tie says closed, but its two sides differ",
              Situation::contactLies,
              WAIT_FOR_PERSON,
              "alarm TIE_DOUBTFUL",
              Situation::alarmDoubtful)
          .waits(Wait.SIDES_DIFFER)
          .when(CONNECTED)
          .on(
              "no valid battery voltage",
              Situation::blind,
              WAIT_FOR_PERSON,
              "alarm NO_BATTERY_VOLTAGE",
              Situation::alarmBlind)
          .waits(Wait.BLIND, Wait.BLIND_IN_STEP)
          .on(
              "tie says closed, but its two sides differ",
              Situation::contactLies,
              WAIT_FOR_PERSON,
              "alarm TIE_DOUBTFUL",
              Situation::alarmDoubtful)
          .waits(Wait.SIDES_DIFFER)
          .on("tie closed, inverter forms", Situation::formsBehindClosedTie, OPEN_TIE)
          .waits(Wait.FORMS_BEHIND)
          .on("tie opened by its own protection: utility lost", Situation::tieOpened, OPEN_TIE)
          .on(
              "utility lost behind a changeover by hand",
              Situation::strandedByHand,
              UNSUPPLIED,
              "alarm SWITCH_BY_HAND",
              Situation::alarmStranded)
          .waitsWhere(Situation::byHand, Wait.CLEARING)
          .on("utility lost", Situation::utilityLost, OPEN_TIE)
          .waits(Wait.CLEARING)
          .on(
              "operator asks to leave the utility, and the inverter can take the panel's power first",
              Situation::mayUnloadAsAsked,
              UNLOAD_TIE)
          .waits(Wait.RAMP)
          .on("operator asks to leave the utility", Situation::mayLeaveAsAsked, OPEN_TIE)
          .on("battery preferred, and charged enough", Situation::mayLeaveForBattery, OPEN_TIE)
          .when(UNLOAD_TIE)
          .on("tie opened by its own protection: utility lost", Situation::tieOpened, OPEN_TIE)
          .on("utility lost", Situation::utilityLost, OPEN_TIE)
          .waits(Wait.CLEARING)
          .on(
              "request taken back, or the battery or inverter no longer able",
              Situation::mayNotLeaveAsAsked,
              CONNECTED)
          .on("tie carries no power", Situation::tieUnloaded, OPEN_TIE)
          .waits(Wait.UNLOADED)
          .on("tie not unloaded in time: it opens under load", Situation::unloadTimedOut, OPEN_TIE)
          .waits(Wait.UNLOAD)
          .when(OPEN_TIE)
          .on(
              "tie proven open, battery at its floor",
              Situation::provenOpenButEmpty,
              UNSUPPLIED,
              "alarm BATTERY_LOW",
              Situation::alarmEmpty)
          .waits(Wait.LOW)
          .on("tie proven open", Situation::provenOpen, FORM)
          .on(
              "tie open, but the utility side carries our voltage",
              Situation::doubtfulTie,
              WAIT_FOR_PERSON,
              "alarm TIE_DOUBTFUL",
              Situation::alarmDoubtful)
          .waits(Wait.UNCARRIED)
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
          .waits(Wait.OPEN, Wait.OPEN_WORD)
          .when(FORM)
          .on("changeover switch moved to the utility", Situation::movedToUtility, CONNECTED)
          .on(
              "changeover by hand moved to a dead utility",
              Situation::strandedByHand,
              UNSUPPLIED,
              "alarm SWITCH_BY_HAND",
              Situation::alarmStranded)
          .waitsWhere(Situation::byHand, Wait.CLEARING)
          .on("tie no longer open", Situation::tieClosedAgain, OPEN_TIE)
          .on(
              "tie says open, but the utility side carries our voltage",
              Situation::doubtfulTie,
              WAIT_FOR_PERSON,
              "alarm TIE_DOUBTFUL",
              Situation::alarmDoubtful)
          .waits(Wait.UNCARRIED)
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
          .waits(Wait.FORM, Wait.FORM_WORD)
          .when(CARRY)
          .on("changeover switch moved to the utility", Situation::movedToUtility, CONNECTED)
          .on(
              "changeover by hand moved to a dead utility",
              Situation::strandedByHand,
              UNSUPPLIED,
              "alarm SWITCH_BY_HAND",
              Situation::alarmStranded)
          .waitsWhere(Situation::byHand, Wait.CLEARING)
          .on("tie found closed without an order", Situation::tieClosedAgain, OPEN_TIE)
          .on(
              "tie says open, but the utility side carries our voltage",
              Situation::doubtfulTie,
              WAIT_FOR_PERSON,
              "alarm TIE_DOUBTFUL",
              Situation::alarmDoubtful)
          .waits(Wait.UNCARRIED)
          .on(
              "no valid battery voltage",
              Situation::blind,
              WAIT_FOR_PERSON,
              "alarm NO_BATTERY_VOLTAGE",
              Situation::alarmBlind)
          .waits(Wait.BLIND, Wait.BLIND_IN_STEP)
          .on(
              "battery at its floor",
              Situation::batteryEmpty,
              UNSUPPLIED,
              "alarm BATTERY_LOW",
              Situation::alarmEmpty)
          .waits(Wait.LOW)
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
          .waits(Wait.NOT_FORMING, Wait.NOT_FORMING_IN_STEP)
          .on("utility qualified", Situation::mayReconnect, SYNCHRONISE)
          .waitsWhere(Situation::returnsWhenQualified, Wait.BAND, Wait.RETRY)
          .on(
              "battery preferred, but down to the reserve; utility qualified",
              Situation::mayReturnAtReserve,
              SYNCHRONISE)
          .waitsWhere(Situation::returnsAtReserve, Wait.BAND, Wait.RETRY)
          .when(SYNCHRONISE)
          .on("tie found closed without an order", Situation::tieClosedAgain, OPEN_TIE)
          .on(
              "battery at its floor",
              Situation::batteryEmpty,
              UNSUPPLIED,
              "alarm BATTERY_LOW",
              Situation::alarmEmpty)
          .waits(Wait.LOW)
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
          .waits(Wait.IN_STEP)
          .on(
              "not in step in time",
              Situation::synchroniseTimedOut,
              CARRY,
              "alarm SYNC_TIMEOUT, wait before the next try",
              Situation::alarmSync)
          .waits(Wait.SYNCHRONISE)
          .when(CLOSE_TIE)
          .onReturn("tie closed, inverter follows", Situation::connectedAgain)
          .on("utility no longer qualified, tie still open", Situation::lostWhileClosing, CARRY)
          .on("utility lost", Situation::utilityLost, OPEN_TIE)
          .waits(Wait.CLEARING)
          .on("no longer in step, tie still open", Situation::outOfStep, SYNCHRONISE)
          .on("tie closed, inverter still forms", Situation::closedButForming, OPEN_TIE)
          .waits(Wait.FORMS_BEHIND, Wait.CLOSE)
          .onReturn("tie closed, inverter not heard of since", Situation::closedUnheard)
          .waits(Wait.CLOSE)
          .onReturn(
              "tie silent, but the utility carries the panel", Situation::servedBehindSilentSwitch)
          .waits(Wait.CLOSE)
          .on(
              "tie not closed in time",
              Situation::closeTimedOut,
              CARRY,
              "alarm TIE_NOT_CLOSED, wait before the next try",
              Situation::alarmNotClosed)
          .waits(Wait.CLOSE, Wait.CLOSE_WORD)
          .when(CLOSE_ON_DEAD_PANEL)
          .onReturn("tie closed, utility carries the panels", Situation::connectedAgain)
          .onReturn("tie closed, inverter not heard of since", Situation::closedUnheard)
          .waits(Wait.CLOSE)
          .onReturn(
              "tie silent, but the utility carries the panel", Situation::servedBehindSilentSwitch)
          .waits(Wait.CLOSE)
          .on("utility no longer qualified, or a hold", Situation::mayNotReconnect, UNSUPPLIED)
          .on(
              "tie not closed in time",
              Situation::closeTimedOut,
              UNSUPPLIED,
              "alarm TIE_NOT_CLOSED, wait before the next try",
              Situation::alarmNotClosed)
          .waits(Wait.CLOSE, Wait.CLOSE_WORD)
          .when(UNSUPPLIED)
          .on(
              "tie says open, but the panel lives and nobody forms it",
              Situation::doubtfulTie,
              WAIT_FOR_PERSON,
              "alarm TIE_DOUBTFUL",
              Situation::alarmDoubtful)
          .waits(Wait.UNCARRIED)
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
          .waits(Wait.SIDES_DIFFER)
          .onReturn("tie found closed, utility present", Situation::foundConnected)
          .waits(Wait.REPORTS)
          .on("tie found closed, utility gone", Situation::foundLost, OPEN_TIE)
          .waitsWhere(Situation::movesByItself, Wait.REPORTS, Wait.CLEARING)
          .on("utility qualified, panel dead", Situation::mayCloseOnDeadPanel, CLOSE_ON_DEAD_PANEL)
          .waitsWhere(Situation::movesByItself, Wait.BAND, Wait.RETRY, Wait.IDLE)
          .on("battery recovered, tie proven open: black start", Situation::mayBlackStart, FORM)
          .waits(Wait.RETRY)
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

  /** A line's number in the documents, from 1. */
  static int number(ModeRow row) {
    return ROWS.indexOf(row) + 1;
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
      gathered.add(new ModeRow(from, on, condition, to, doing, action, List.of(), s -> true));
      return this;
    }

    /** What the line before takes time for. */
    Rows waits(Wait... times) {
      return waitsWhere(s -> true, times);
    }

    /** The same, where the line can apply at certain sites only. */
    Rows waitsWhere(ModeRow.Condition where, Wait... times) {
      int last = gathered.size() - 1;
      gathered.set(last, gathered.get(last).waiting(where, times));
      return this;
    }

    List<ModeRow> rows() {
      return List.copyOf(gathered);
    }
  }
}
