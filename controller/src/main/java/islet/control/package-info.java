/**
 * The pure logic of the supervisor: grid qualification, mode machine, interlocks, charge
 * coordination, schedule, load shedding, alarms. No clock, no thread, no input or output, no
 * logging, no randomness: inputs and time come in, orders and events go out, and a scan in steady
 * state allocates nothing.
 */
package islet.control;
