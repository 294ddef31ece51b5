package islet.bench;

import islet.fault.Fault;

/**
 * A fault that stands in a run.
 *
 * @param number counts the faults of the run as they begin, from 1
 */
public record StandingFault(long number, Fault fault) {}
