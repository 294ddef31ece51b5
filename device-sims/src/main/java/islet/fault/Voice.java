package islet.fault;

/** Says on the wire what a fault makes somebody say there. */
@FunctionalInterface
public interface Voice {

  /** Lets a fault that is nothing but messages begin or end. */
  void say(Fault fault, boolean on);
}
