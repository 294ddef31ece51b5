package islet.bench.compare;

import islet.bench.RunResult;

/**
 * One of the runs that are compared.
 *
 * @param label a short name that no other column has
 * @param source where it comes from, in words
 * @param result what it came to
 */
public record Column(String label, String source, RunResult result) {}
