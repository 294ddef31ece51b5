/**
 * The bench: virtual time, the virtual broker, scenarios, hazards, expectations, recording and
 * verdicts. Hazards and expectations judge the plant's truth and the wire, never the controller's
 * opinion of itself.
 */
package islet.bench;
