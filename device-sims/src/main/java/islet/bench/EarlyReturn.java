package islet.bench;

import islet.bench.margin.Belated;
import islet.site.GridProfile.EnterService;
import java.util.Optional;

/**
 * The tie closes onto a live utility that has not held the enter-service band, in voltage and
 * frequency at the main panel, for the whole delay without a break: any instance counts. Band and
 * delay are the profile's (IEEE Std 1547-2018, Table 4, from memory). What the utility was like
 * before the run counts as good for exactly the delay.
 *
 * <p>The margin is the left time robustness of the band at the close, less the delay: a close out
 * of the band is worse by as long as the utility has been out of it.
 *
 * <p>When a person closes the disconnect beside a tie that stands closed, the tie has not closed.
 *
 * <p>A closing contact cannot be called back for its travel and the time in which the tie sees a
 * loss: what begins within that time before the close is no part of the question.
 *
 * <p>□ (close ∧ utility live → θ⁻(in band, as of R ago) ≥ D) (see {@link HazardNote}).
 */
final class EarlyReturn implements Hazard {

  static final String ID = "early-return";

  private final EnterService enter;
  private final long delay;
  private final boolean joins;
  private boolean started;
  private boolean contact;
  private boolean disconnectWasOpen;
  private boolean live;
  private final Belated band;
  private Finding worst;

  /**
   * The hazard.
   *
   * @param committedMicros how long before its contact touches a closing cannot be called back
   */
  EarlyReturn(EnterService enter, boolean joins, long committedMicros) {
    band = new Belated(committedMicros);
    this.joins = joins;
    this.enter = enter;
    this.delay = Amount.micros(enter.delayS());
    this.worst =
        Finding.idle(
            enter.delayS(),
            "s",
            joins
                ? "The tie never closed onto a live utility."
                : "Nothing in this arrangement joins a source to the utility.");
  }

  @Override
  public String id() {
    return ID;
  }

  @Override
  public String title() {
    return "Return before the utility had qualified";
  }

  @Override
  public void truth(Truth truth) {
    long micros = truth.micros();
    boolean nowInBand =
        truth.utilitySourceLive
            && truth.get(Signal.MAIN_VOLTAGE) >= enter.minimumPu()
            && truth.get(Signal.MAIN_VOLTAGE) <= enter.maximumPu()
            && truth.utilitySourceHz >= enter.minimumHz()
            && truth.utilitySourceHz <= enter.maximumHz();
    band.update(micros, nowInBand, nowInBand ? delay : 0);
    boolean closes = started && truth.contactClosed && !contact && !disconnectWasOpen;
    if (joins && closes && truth.utilitySourceLive) {
      closed(micros);
    }
    disconnectWasOpen = truth.disconnectOpen;
    contact = truth.contactClosed;
    live = truth.utilitySourceLive;
    started = true;
  }

  private void closed(long micros) {
    double heldS = band.atS(micros);
    double margin = heldS - enter.delayS();
    worst =
        worst.tighter(
            new Finding(
                margin / Math.max(1, enter.delayS()),
                margin,
                "s",
                margin < 0,
                micros,
                (heldS >= 0
                        ? "The tie closed after the utility had held the enter-service band for "
                        : "The tie closed after the utility had been out of the enter-service band"
                            + " for ")
                    + Amount.of(Math.abs(heldS), "s")
                    + "; "
                    + Amount.of(enter.delayS(), "s")
                    + " are demanded."));
  }

  @Override
  public Optional<Distance> distance(long micros) {
    if (!joins || !started || contact || !live) {
      return Optional.empty();
    }
    double heldS = band.atS(micros);
    double left = heldS - enter.delayS();
    return Optional.of(
        new Distance(
            left / Math.max(1, enter.delayS()),
            left,
            "s",
            (heldS >= 0
                    ? "If the tie closed now: the utility has held the enter-service band for "
                    : "If the tie closed now: the utility has been out of the enter-service band"
                        + " for ")
                + Amount.of(Math.abs(heldS), "s")
                + "; "
                + Amount.of(enter.delayS(), "s")
                + " are demanded."));
  }

  @Override
  public Finding finding() {
    return worst;
  }
}
