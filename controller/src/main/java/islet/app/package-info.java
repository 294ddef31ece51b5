/**
 * The controller's main program: reads the site, opens the journal, wires ports, clock and logic.
 */
package islet.app;
