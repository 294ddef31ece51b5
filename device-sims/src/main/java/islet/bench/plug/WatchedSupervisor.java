package islet.bench.plug;

import islet.control.Inputs;
import islet.control.Keepsake;
import islet.control.Outputs;
import islet.control.Supervisor;
import islet.control.SupervisorMaker;
import islet.site.InputException;
import islet.site.Problem;
import islet.site.Site;
import java.util.List;
import java.util.Objects;

/**
 * A supervisor from outside under watch: whatever it throws, and orders that cannot be sent, come
 * out as a {@link SupervisorCrash}, so that the bench can tell its faults from its own.
 */
public final class WatchedSupervisor implements Supervisor {

  private final Supervisor inner;
  private final int circuits;

  private WatchedSupervisor(Supervisor inner, int circuits) {
    this.inner = inner;
    this.circuits = circuits;
  }

  /**
   * Lets a maker make a supervisor, and watches it.
   *
   * @throws InputException when the maker throws or makes nothing
   */
  public static Supervisor of(SupervisorMaker maker, Site site) {
    try {
      Supervisor made =
          Objects.requireNonNull(maker.make(site), "the maker returned no supervisor");
      return new WatchedSupervisor(made, site.supervision().shedding().size());
    } catch (RuntimeException | LinkageError e) {
      throw new InputException(
          List.of(
              new Problem(
                  "--supervisor",
                  0,
                  Supervisors.named(maker),
                  "a maker that fails for the site " + site.name() + ": " + cause(e),
                  "a supervisor that can be made for this site",
                  "Mend the supervisor, or choose a site that it is made for.")));
    }
  }

  @Override
  public void scan(Inputs in, long nowMicros, Outputs out) {
    try {
      inner.scan(in, nowMicros, out);
    } catch (RuntimeException | Error e) {
      throw new SupervisorCrash(cause(e), e);
    }
    sendable(out);
  }

  @Override
  public boolean wantsToThink() {
    try {
      return inner.wantsToThink();
    } catch (RuntimeException | Error e) {
      throw new SupervisorCrash(cause(e), e);
    }
  }

  @Override
  public void think() {
    watched(inner::think);
  }

  @Override
  public void keep(Keepsake keepsake) {
    watched(() -> inner.keep(keepsake));
  }

  private static void watched(Runnable work) {
    try {
      work.run();
    } catch (RuntimeException | Error e) {
      throw new SupervisorCrash(cause(e), e);
    }
  }

  private static String cause(Throwable e) {
    StackTraceElement[] places = e.getStackTrace();
    return e + (places.length > 0 ? " at " + places[0] : "");
  }

  private void sendable(Outputs out) {
    insist(out.mode, "mode");
    insist(out.stage, "stage");
    insist(out.grid, "grid");
    insist(out.tie, "tie");
    insist(out.inverter, "inverter");
    insist(out.holdKey, "holdKey");
    if (out.shedCount < 0 || out.shedCount > circuits) {
      throw new SupervisorCrash(
          "it left shedCount at " + out.shedCount + "; allowed is 0 to " + circuits);
    }
    if (!(out.exportLimitW >= 0)) {
      throw new SupervisorCrash(
          "it left exportLimitW at " + out.exportLimitW + "; allowed is 0 or more, or infinity");
    }
    insist(out.chargeVoltageV, "chargeVoltageV");
    insist(out.chargeLimitA, "chargeLimitA");
    insist(out.feedVoltageV, "feedVoltageV");
    insist(out.feedLimitW, "feedLimitW");
    insist(out.chargerVoltageV, "chargerVoltageV");
    insist(out.chargerLimitA, "chargerLimitA");
    insist(out.regulatorVoltageV, "regulatorVoltageV");
    insist(out.regulatorLimitA, "regulatorLimitA");
    insist(out.batteryVoltageV, "batteryVoltageV");
    insist(out.soc, "soc");
    insist(out.reserveSoc, "reserveSoc");
    insist(out.voltageSoc, "voltageSoc");
    insist(out.doubts, "doubts");
    insist(out.qualifiedInS, "qualifiedInS");
  }

  private static void insist(Object value, String field) {
    if (Objects.isNull(value)) {
      throw new SupervisorCrash("it left " + field + " null; allowed is a value of its type");
    }
  }

  private static void insist(double value, String field) {
    if (!Double.isFinite(value)) {
      throw new SupervisorCrash("it left " + field + " at " + value + "; allowed is a number");
    }
  }
}
