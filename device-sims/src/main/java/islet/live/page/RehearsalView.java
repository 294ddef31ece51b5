package islet.live.page;

import islet.live.page.Description.SignalView;
import islet.live.page.Description.SiteView;
import java.util.List;

/**
 * What the page of a guided rehearsal is told, as it is written in JSON: the records' names are the
 * fields' names. An empty text or list means that there is none.
 */
final class RehearsalView {

  private RehearsalView() {}

  /**
   * What does not change while it runs.
   *
   * @param startAt when the run begins, in site time
   * @param cautions the usual ones of the trade
   * @param notice what a rehearsal is not
   */
  record Fixed(
      String title,
      String startAt,
      SiteView site,
      List<SignalView> signals,
      List<String> cautions,
      String notice) {}

  /**
   * How it stands.
   *
   * @param phase a name of {@link RehearsalDesk.Phase}
   * @param token what an answer must carry
   * @param steps how many there are
   * @param share of the run's time that has passed, 0 to 1
   * @param who answers; empty before it has begun
   * @param stop where the run stands; empty while it does not
   * @param run what the run came to, {@code pass} or {@code fail}; empty before its end
   * @param record one, when it is signed
   */
  record Now(
      String phase,
      String token,
      int steps,
      double share,
      String who,
      List<AnsweredView> answered,
      List<StopView> stop,
      String run,
      List<RecordView> record) {}

  record AnsweredView(
      int step,
      String act,
      String verdict,
      List<String> measured,
      String remark,
      String who,
      String when) {}

  /**
   * A stop.
   *
   * @param at civil time at the site, ISO 8601 with offset
   * @param afterS seconds after the start of the run
   * @param values the stop's own signals, which may be measured
   * @param plant all signals
   * @param wire what the devices say
   */
  record StopView(
      int step,
      String at,
      double afterS,
      String act,
      String see,
      String safety,
      String mode,
      List<String> alarms,
      List<ValueView> values,
      List<ValueView> plant,
      List<LatestWire.Heard> wire) {}

  /**
   * A signal's value.
   *
   * @param words what a measured value may be; empty for a number
   */
  record ValueView(String signal, String value, String unit, List<String> words) {}

  /** A signed record. */
  record RecordView(
      String outcome, long passed, long failed, long skipped, String sha256, String name) {}
}
