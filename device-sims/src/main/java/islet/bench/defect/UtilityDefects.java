package islet.bench.defect;

import static islet.bench.defect.Defect.Part.GRID_QUALIFICATION;
import static islet.bench.defect.Defect.Part.SIGNAL_VALIDATION;
import static islet.bench.defect.SpoiltSupervisor.misreading;
import static islet.bench.defect.SpoiltSupervisor.ordering;
import static islet.bench.defect.SpoiltSupervisor.seeing;

import islet.contract.Device;
import islet.contract.GridState;
import islet.contract.InverterOrder;
import islet.contract.MeterTelemetry;
import islet.contract.Mode;
import islet.contract.TieOrder;
import islet.contract.TieTelemetry;
import islet.control.Inputs;
import islet.control.Outputs;
import islet.site.GridProfile.EnterService;
import islet.site.Site;
import islet.site.Site.Tie;
import java.util.List;

/** What can go wrong when the utility is judged. */
final class UtilityDefects {

  static final List<Defect> ALL =
      List.of(
          new Defect(
              "enter-delay-in-minutes",
              "Enter-service delay in the wrong unit",
              "The profile's delay before a return is divided by 60 once too often on its way into"
                  + " the timer: 300 s become 5 s.",
              GRID_QUALIFICATION,
              misreading(UtilityDefects::delayInMinutes)),
          new Defect(
              "enter-band-of-trip-limits",
              "Enter-service band as wide as the trip limits",
              "The delay before a return already runs while the utility is only not yet to be left:"
                  + " from 0.88 to 1.10 pu instead of the profile's narrower band.",
              GRID_QUALIFICATION,
              misreading(UtilityDefects::bandOfTripLimits)),
          new Defect(
              "return-frequency-not-judged",
              "Frequency not judged before a return",
              "The delay before a return is run by voltage alone; the utility's frequency is taken"
                  + " as nominal whenever there is a voltage.",
              GRID_QUALIFICATION,
              seeing(NominalFrequency::new)),
          new Defect(
              "delay-not-restarted-by-dip",
              "Delay not restarted by a dip",
              "A reading of the utility that differs for less than a second is filtered away before"
                  + " it is judged, so a short dip does not begin the delay anew.",
              GRID_QUALIFICATION,
              seeing(SlowFilter::new)),
          new Defect(
              "timer-wins-over-dip",
              "Timer asked before the utility",
              "In the one scan in which the delay ends, the timer is asked before what has come"
                  + " since the scan before: a dip in just that tenth of a second does not begin"
                  + " the delay anew.",
              GRID_QUALIFICATION,
              seeing(TimerFirst::new)),
          new Defect(
              "delay-from-the-outage",
              "Delay counted from the outage",
              "The delay before a return is counted from when the utility went and not from when it"
                  + " came back, so that after a longer outage the site returns at once.",
              GRID_QUALIFICATION,
              ordering(DelayFromTheOutage::new)),
          new Defect(
              "leaves-at-every-dip",
              "Utility left at every dip",
              "The voltage below which the site leaves the utility is taken from the enter-service"
                  + " band instead of the tie's own entry, so that it leaves at dips that no load"
                  + " feels.",
              GRID_QUALIFICATION,
              misreading(UtilityDefects::leaveBelowEnterBand)),
          new Defect(
              "stale-taken-for-fresh",
              "Old telemetry taken for new",
              "The age of telemetry is counted from when it is read and not from when it came, so a"
                  + " device that has gone silent is believed for ever.",
              SIGNAL_VALIDATION,
              seeing(EverFresh::new)));

  private UtilityDefects() {}

  private static Site delayInMinutes(Site site) {
    EnterService e = site.profile().enter();
    return SiteSlips.enter(
        site,
        new EnterService(
            e.minimumPu(),
            e.maximumPu(),
            e.minimumHz(),
            e.maximumHz(),
            e.delayS() / 60,
            e.rampS()));
  }

  private static Site bandOfTripLimits(Site site) {
    EnterService e = site.profile().enter();
    return SiteSlips.enter(
        site,
        new EnterService(
            Math.min(e.minimumPu(), 0.88),
            Math.max(e.maximumPu(), 1.10),
            e.minimumHz(),
            e.maximumHz(),
            e.delayS(),
            e.rampS()));
  }

  private static Site leaveBelowEnterBand(Site site) {
    double pu = site.profile().enter().minimumPu();
    return SiteSlips.tie(
        site,
        site.tie().map(t -> new Tie(t.operateS(), t.lossBelowPu(), t.lossS(), pu, t.separateS())));
  }

  private static final class NominalFrequency extends Eyes {
    private static final double LIVE_PU = 0.5;
    private static final double NOMINAL_HZ = 60;

    @Override
    TieTelemetry tie(TieTelemetry t) {
      return t.utilityVoltagePu() > LIVE_PU && !t.closed()
          ? Readings.utility(t, t.utilityVoltagePu(), NOMINAL_HZ)
          : t;
    }

    @Override
    MeterTelemetry meter(MeterTelemetry m) {
      return m.utilityVoltagePu() > LIVE_PU
          ? Readings.utility(m, m.utilityVoltagePu(), NOMINAL_HZ)
          : m;
    }
  }

  /** Passes on a change of the utility's voltage behind an open tie only when it has lasted. */
  private static final class SlowFilter extends Eyes {
    private static final long LASTING_MICROS = 1_000_000;
    private static final double SAME_PU = 0.02;

    private double shownPu;
    private double shownHz;
    private long differsSince = Long.MAX_VALUE;
    private boolean filters;

    @Override
    void open(Inputs in, long now, Outputs before) {
      TieTelemetry t = in.tie();
      filters = !t.closed();
      boolean differs = Math.abs(t.utilityVoltagePu() - shownPu) > SAME_PU;
      differsSince = differs ? Math.min(differsSince, now) : Long.MAX_VALUE;
      if (!filters || !differs || now - differsSince >= LASTING_MICROS) {
        shownPu = t.utilityVoltagePu();
        shownHz = t.utilityFrequencyHz();
        differsSince = Long.MAX_VALUE;
      }
    }

    @Override
    TieTelemetry tie(TieTelemetry t) {
      return filters ? Readings.utility(t, shownPu, shownHz) : t;
    }

    @Override
    MeterTelemetry meter(MeterTelemetry m) {
      return filters ? Readings.utility(m, shownPu, shownHz) : m;
    }
  }

  /**
   * Shows the utility as it was one scan before, in the scan in which the delay ends. By the scan
   * before it has to end now when less than one scan is left of it.
   */
  private static final class TimerFirst extends Eyes {
    private double pu;
    private double hz;
    private long last;
    private boolean ends;

    @Override
    void open(Inputs in, long now, Outputs before) {
      double scanS = last == 0 ? 0 : (now - last) * 1e-6;
      last = now;
      ends = before.qualifiedInS > 0 && before.qualifiedInS <= 1.5 * scanS;
      if (!ends) {
        pu = in.tie().utilityVoltagePu();
        hz = in.tie().utilityFrequencyHz();
      }
    }

    @Override
    TieTelemetry tie(TieTelemetry t) {
      return ends ? Readings.utility(t, pu, hz) : t;
    }

    @Override
    MeterTelemetry meter(MeterTelemetry m) {
      return ends ? Readings.utility(m, pu, hz) : m;
    }
  }

  /** Returns in step, by the delay of its own. */
  private static final class DelayFromTheOutage implements Hands {
    private static final double IN_STEP_DEG = 5;
    private static final double IN_STEP_HZ = 0.1;

    private final long delayMicros;
    private long goneAt = Long.MAX_VALUE;

    DelayFromTheOutage(Site site) {
      delayMicros = Math.round(site.profile().enter().delayS() * 1e6);
    }

    @Override
    public void carryOut(Inputs in, long now, Outputs out) {
      TieTelemetry t = in.tie();
      goneAt = t.closed() ? Long.MAX_VALUE : Math.min(goneAt, now);
      boolean returns =
          out.grid == GridState.RETURNING
              && out.mode == Mode.ISLANDED
              && goneAt != Long.MAX_VALUE
              && now - goneAt >= delayMicros;
      if (returns) {
        out.inverter = InverterOrder.SYNCHRONISE;
        out.inverterOrdered = true;
        if (Math.abs(t.angleDeg()) < IN_STEP_DEG
            && Math.abs(t.utilityFrequencyHz() - t.islandFrequencyHz()) < IN_STEP_HZ) {
          out.tie = TieOrder.CLOSE;
          out.tieOrdered = true;
        }
      }
    }
  }

  /** Whoever has been heard once is heard for ever, whatever the broker says of him. */
  private static final class EverFresh extends Eyes {
    private final boolean[] heard = new boolean[Device.values().length];
    private long now;

    @Override
    void open(Inputs in, long instant, Outputs before) {
      now = instant;
    }

    @Override
    long arrived(Device device, long at) {
      heard[device.ordinal()] |= at != Inputs.NEVER;
      return heard[device.ordinal()] ? now : at;
    }
  }
}
