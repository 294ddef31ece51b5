package islet.bench;

import islet.contract.Device;
import islet.fault.Fault;
import islet.fault.FaultKind;
import islet.site.Site;
import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.Function;

/** What messages suffer on the links of a site; several faults of one link add up. */
public final class LinkFaults {

  private static final Map<FaultKind, Function<Fault, Disturbance>> MAKERS =
      Map.of(
          FaultKind.LINK_DELAY,
          f -> Disturbance.delay(f.micros("by")),
          FaultKind.LINK_JITTER,
          f -> Disturbance.jitter(f.micros("upTo"), f.seed()),
          FaultKind.LINK_LOSS,
          f -> Disturbance.loss(f.number("share"), f.seed()),
          FaultKind.LINK_DUPLICATE,
          f -> Disturbance.duplicate(f.number("share"), f.seed()),
          FaultKind.LINK_REORDER,
          f -> Disturbance.later(f.number("share"), f.micros("by"), f.seed()),
          FaultKind.LINK_CORRUPT,
          f -> Disturbance.corrupt(f.number("share"), f.seed()));

  private final Site site;
  private final Network network;

  /** What is on each client's link, in the order of beginning. */
  private final Map<String, Map<Fault, Disturbance>> active = new TreeMap<>();

  /** Faults on the links of a site. */
  public LinkFaults(Site site, Network network) {
    this.site = site;
    this.network = network;
  }

  /** Lets a fault of a link, or of the broker, begin or end. */
  public void set(Fault fault, boolean on) {
    if (fault.kind() == FaultKind.BROKER_RESTART) {
      if (on) {
        network.restart(fault.micros("down"), fault.claim().equals("forgetful"));
      }
      return;
    }
    Device device = Device.valueOf(fault.device().toUpperCase(Locale.ROOT));
    String client = SiteSimulation.clientId(site, device);
    Map<Fault, Disturbance> here = active.computeIfAbsent(client, id -> new LinkedHashMap<>());
    if (on) {
      here.put(fault, disturbance(fault));
    } else {
      here.remove(fault);
    }
    Disturbance all = Disturbance.NONE;
    for (Disturbance one : here.values()) {
      all = all == Disturbance.NONE ? one : all.and(one);
    }
    network.disturb(client, all);
  }

  private static Disturbance disturbance(Fault fault) {
    return Optional.ofNullable(MAKERS.get(fault.kind()))
        .orElseThrow(() -> new IllegalArgumentException(fault.kind() + " does nothing to messages"))
        .apply(fault);
  }
}
