package islet.bench;

import islet.fault.FaultKind;
import islet.site.Site;
import java.util.List;

/** Where a fault can bite at a site. */
public final class FaultTargets {

  private FaultTargets() {}

  /** The fault's targets that a site of this arrangement has; empty when it has none of them. */
  public static List<FaultKind.Target> of(FaultKind kind, Site.Arrangement arrangement) {
    return EventReader.targets(kind, arrangement);
  }
}
