package islet.bench.plug;

import islet.contract.Port;
import islet.control.SupervisorMaker;
import islet.executive.Duty;
import islet.site.Site;

/**
 * A maker whose supervisors are peculiar in more than their logic: what stands between them and the
 * wire is not quite what stands between Islet's own and the wire.
 */
public interface WireHabit extends SupervisorMaker {

  /**
   * The way to the broker for the supervisors of one run. Others at the site, such as the devices,
   * go by the honest one.
   *
   * @param honest the broker as it is
   */
  Port.Broker over(Port.Broker honest, Site site);

  /**
   * The broker as everybody at a site sees it: the supervisors of a maker with a habit by their own
   * way, all others as it is.
   */
  static Port.Broker of(SupervisorMaker maker, Port.Broker honest, Site site) {
    if (!(maker instanceof WireHabit habit)) {
      return honest;
    }
    Port.Broker own = habit.over(honest, site);
    // A second supervisor's name at the broker begins with the first one's.
    String supervisor = Duty.clientId(site);
    return (client, will, listener) ->
        (client.startsWith(supervisor) ? own : honest).connect(client, will, listener);
  }
}
