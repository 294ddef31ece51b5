package islet.control;

import islet.site.Site;

/**
 * Makes supervisors of one kind. A jar offers its own by naming its maker in {@code
 * META-INF/services/islet.control.SupervisorMaker}; it is found by {@link java.util.ServiceLoader},
 * so the class needs a public constructor without arguments.
 */
public interface SupervisorMaker {

  /**
   * What the supervisor is called on the command line and in verdicts: a lower-case letter, then
   * lower-case letters, digits or hyphens. {@code islet} is taken.
   */
  String name();

  /**
   * A supervisor for a site, which has not scanned yet. Called once for each run, possibly from
   * several threads at once; two supervisors share nothing.
   *
   * @throws IllegalArgumentException with a sentence for a person, when it is not made for such a
   *     site
   */
  Supervisor make(Site site);
}
