package islet.bench.defect;

import islet.control.Inputs;
import islet.control.Outputs;

/** What becomes of a supervisor's orders after a scan. One belongs to one supervisor. */
@FunctionalInterface
interface Hands {

  /**
   * Changes the orders, or lets them be.
   *
   * @param in what has really been told
   * @param now the instant of the scan, microseconds since 1970
   * @param out the orders of a good supervisor
   */
  void carryOut(Inputs in, long now, Outputs out);
}
