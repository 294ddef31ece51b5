/**
 * The catalogue of faults and where each one bites: at the utility, on a link, in a sensor, in an
 * actuator or in the supervisor.
 */
package islet.fault;
