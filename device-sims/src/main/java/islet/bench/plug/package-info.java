/**
 * Supervisors from outside: found in jars and folders, watched in every scan, so that a run with
 * somebody else's logic ends with a verdict whatever that logic does.
 */
package islet.bench.plug;
