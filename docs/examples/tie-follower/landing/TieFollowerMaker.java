package landing;

import islet.control.Supervisor;
import islet.control.SupervisorMaker;
import islet.site.Site;

/** Offers the supervisor to Islet's bench. */
public final class TieFollowerMaker implements SupervisorMaker {

  @Override
  public String name() {
    return "tie-follower";
  }

  @Override
  public Supervisor make(Site site) {
    if (site.arrangement() != Site.Arrangement.TWO_PANEL) {
      throw new IllegalArgumentException("a tie follower needs a site with a tie (two-panel)");
    }
    return new TieFollower(site);
  }
}
