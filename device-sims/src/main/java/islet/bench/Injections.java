package islet.bench;

import islet.fault.Fault;

/** Hears what a script does to a site, at the present instant. */
interface Injections {

  /** A fault begins or ends. */
  void injected(Fault fault, boolean on);

  /** The utility changes, or a person asks for something: no longer a run in which nothing is. */
  void astir();
}
