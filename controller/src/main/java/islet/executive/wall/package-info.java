/**
 * The executive by the wall clock: the one thread with its fixed cycle, the watchdog over it, and
 * the machine's clock made fit for a scan. The only package of the executive that may ask the
 * machine for the time.
 */
package islet.executive.wall;
