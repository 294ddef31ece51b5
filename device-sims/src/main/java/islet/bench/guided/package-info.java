/**
 * Guided rehearsals: what a person answers at the stops of a scenario, and the record that is made
 * of it. Who answers and when are inputs here; nothing in this package asks a clock or a terminal.
 */
package islet.bench.guided;
