package islet.live;

import islet.site.Site;
import java.util.List;

/**
 * How long a message may be on its way before a time-out of the site runs out that has nothing to
 * do with the site. A message takes wall time, the site's time-outs run in site time: at 60 times
 * the speed 2 ms on the wire are 120 ms at the site.
 *
 * @param timeout the setting that is the first to suffer
 * @param timeoutS what it is set to, s of site time
 * @param messageS how long a message may take, s of site time
 */
public record LinkBudget(String timeout, double timeoutS, double messageS) {

  /** The budget of a site. */
  public static LinkBudget of(Site site) {
    Site.Supervision supervision = site.supervision();
    double scanS = supervision.scanS();
    // An order and the report of what it did are two messages; the switch travels and a scan may
    // just have passed.
    double roundS = scanS + site.switchTravelS();
    List<LinkBudget> all =
        List.of(
            within("supervision.commandLifetime", supervision.commandLifetimeS(), 0, 1),
            within("supervision.timeouts.open", supervision.timeouts().openS(), roundS, 2),
            within("supervision.timeouts.close", supervision.timeouts().closeS(), roundS, 2));
    LinkBudget tightest = all.get(0);
    for (LinkBudget budget : all) {
      if (budget.messageS < tightest.messageS) {
        tightest = budget;
      }
    }
    return tightest;
  }

  private static LinkBudget within(String timeout, double timeoutS, double spentS, int count) {
    return new LinkBudget(timeout, timeoutS, Math.max(0, timeoutS - spentS) / count);
  }
}
