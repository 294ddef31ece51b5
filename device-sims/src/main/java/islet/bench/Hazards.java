package islet.bench;

import islet.bench.RunResult.HazardVerdict;
import islet.bench.RunResult.Outcome;
import islet.contract.Ack;
import islet.contract.Alarm;
import islet.contract.Device;
import islet.contract.SupervisorCommand;
import islet.contract.SupervisorTelemetry;
import islet.fault.Fault;
import islet.site.Site;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * The hazards that are on in every run, in the order in which verdicts list them. A scenario may
 * waive one, with a reason that the verdict repeats; it is judged all the same.
 */
public final class Hazards implements Witness {

  /** The ids of all hazards, in the order of verdicts. */
  public static final List<String> IDS =
      List.of(
          Backfeed.ID,
          OutOfSyncClose.ID,
          EarlyReturn.ID,
          Overcharge.ID,
          DeepDischarge.ID,
          LostLoad.ID,
          ForbiddenExport.ID,
          TwoMasters.ID,
          StaleCommand.ID,
          WrongPicture.ID,
          Chatter.ID,
          SilentFault.ID,
          UnpaidCharge.ID);

  private final Hazard[] hazards;
  private final TwoMasters twoMasters;
  private final StaleCommand staleCommand;
  private final WrongPicture wrongPicture;
  private final SilentFault silentFault;
  private final UnpaidCharge unpaidCharge;
  private final Map<String, String> waived;
  private final long startMicros;

  /**
   * All hazards for a run.
   *
   * @param site whose profile and battery limits are the bounds
   * @param startMicros the start of the scenario, microseconds since 1970
   * @param waived reason by hazard id; the scenario's reader has checked the ids
   */
  public Hazards(Site site, long startMicros, Map<String, String> waived) {
    this.waived = Map.copyOf(waived);
    this.startMicros = startMicros;
    twoMasters = new TwoMasters(site.supervision().commandLifetimeS());
    staleCommand = new StaleCommand(site.supervision().commandLifetimeS());
    wrongPicture = new WrongPicture(site);
    silentFault = new SilentFault(site);
    unpaidCharge = new UnpaidCharge(site, startMicros);
    // So long before its contact touches, a closing tie can still be called back: its own
    // protection
    // needs to see what is wrong, and its contact to stop.
    long committed = site.tie().map(t -> Amount.micros(t.operateS() + t.lossS())).orElse(0L);
    hazards =
        new Hazard[] {
          new Backfeed(site.profile()),
          new OutOfSyncClose(site.profile().sync(), site.arrangement().hasTie(), committed),
          new EarlyReturn(site.profile().enter(), site.arrangement().hasTie(), committed),
          new Overcharge(site.battery()),
          new DeepDischarge(site.battery()),
          new LostLoad(site),
          new ForbiddenExport(site.inverter()),
          twoMasters,
          staleCommand,
          wrongPicture,
          new Chatter(),
          silentFault,
          unpaidCharge
        };
  }

  /** Links are real, and so is what befalls them; see {@link SilentFault}. */
  void linksAreReal() {
    silentFault.linksAreReal();
  }

  @Override
  public void truth(Truth truth) {
    for (Hazard hazard : hazards) {
      hazard.truth(truth);
    }
  }

  @Override
  public void commanded(
      long micros, Device device, String from, long seq, long at, double lifetimeS) {
    twoMasters.commanded(micros, device, from, seq, at, lifetimeS);
    staleCommand.commanded(micros, device, from, seq, at, lifetimeS);
  }

  @Override
  public void asked(long micros, SupervisorCommand order) {
    unpaidCharge.asked(micros, order);
  }

  @Override
  public void answered(long micros, Device device, Ack ack) {
    twoMasters.answered(micros, device, ack);
    staleCommand.answered(micros, device, ack);
  }

  @Override
  public void told(long micros, SupervisorTelemetry picture) {
    wrongPicture.told(micros, picture);
    silentFault.told(micros, picture);
    unpaidCharge.told(micros, picture);
  }

  @Override
  public void alarmed(long micros, Device device, Alarm alarm) {
    wrongPicture.alarmed(micros, device, alarm);
    silentFault.alarmed(micros, device, alarm);
  }

  @Override
  public void present(long micros, Device device, boolean online) {
    wrongPicture.present(micros, device, online);
    silentFault.present(micros, device, online);
    unpaidCharge.present(micros, device, online);
  }

  /** A fault begins or ends. */
  void injected(long micros, Fault fault, boolean on) {
    silentFault.injected(micros, fault, on);
    wrongPicture.injected(micros, fault, on);
  }

  /** The utility changes, or a person asks for something. */
  void astir() {
    silentFault.astir();
  }

  @Override
  public void finish(long endMicros) {
    for (Hazard hazard : hazards) {
      hazard.finish(endMicros);
    }
  }

  /** What each hazard is called, in a few words, in the order of verdicts. */
  public List<String> titles() {
    return Arrays.stream(hazards).map(Hazard::title).toList();
  }

  /** How far each hazard is from being violated at an instant, in the order of verdicts. */
  List<Optional<Distance>> distances(long micros) {
    return Arrays.stream(hazards).map(hazard -> hazard.distance(micros)).toList();
  }

  /** The verdicts, one a hazard, after {@link #finish}; before it, how each stands so far. */
  public List<HazardVerdict> verdicts() {
    List<HazardVerdict> verdicts = new ArrayList<>();
    for (Hazard hazard : hazards) {
      Finding finding = hazard.finding();
      String reason = waived.getOrDefault(hazard.id(), "");
      verdicts.add(
          new HazardVerdict(
              hazard.id(),
              hazard.title(),
              finding.violated() ? reason.isEmpty() ? Outcome.FAIL : Outcome.WAIVED : Outcome.PASS,
              finding.margin(),
              finding.unit(),
              finding.atMicros() < 0 ? -1 : (finding.atMicros() - startMicros) / 1e6,
              reason.isEmpty()
                  ? finding.detail()
                  : finding.detail() + " Waived by the scenario: " + reason,
              finding.share()));
    }
    return verdicts;
  }
}
