/**
 * Outside programs that judge the plant: a circuit simulator for the DC bus, a script in another
 * language for a year of sun. What they are asked is written here from the published equations and
 * the parts' specifications, never from the plant's own answers.
 */
package islet.judge;
