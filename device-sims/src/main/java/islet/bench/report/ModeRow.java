package islet.bench.report;

/**
 * One row of the mode machine's table, as the picture and the document show it.
 *
 * @param from name of the mode that is left; {@link ModeDiagram#ANY} for every mode but {@code to}
 * @param on what sets it off
 * @param guard what must hold besides; empty for nothing
 * @param to name of the mode that is entered
 * @param actions what is done on the way
 * @param worstTime the longest it may take, in words, such as {@code 20 ms}
 */
public record ModeRow(
    String from, String on, String guard, String to, String actions, String worstTime) {}
