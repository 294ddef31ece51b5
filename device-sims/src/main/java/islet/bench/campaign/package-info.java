/**
 * Campaigns: many runs of a few courses, each with one mishap or several more at instants of the
 * campaign's choice. A case is a pure function of the campaign's file and the case's number.
 */
package islet.bench.campaign;
