/**
 * Simulated firmware. Each device senses the plant through its own sensors, obeys commands while
 * they are good, and keeps its own local protection also when the supervisor is silent. A device
 * never looks at another one, save through the wires that a real site has: the tie's auxiliary
 * contact and the sensing leads across the tie.
 */
package islet.device;
