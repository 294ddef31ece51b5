/**
 * What the controller tells of itself to whoever measures it: a board that the scan fills, the
 * OpenMetrics text made from it, and a small HTTP end point on a thread of its own. Nothing here
 * can hold the scan up: the scan writes primitives and waits for nobody.
 */
package islet.metrics;
