/**
 * Runs side by side: what each used, cost and risked, and how far each is from the first. Knows
 * results only, not how they came about.
 */
package islet.bench.compare;
