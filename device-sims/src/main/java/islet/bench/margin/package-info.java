/**
 * Margins of temporal formulas over a run: not only whether a bound was kept, but by how much, in
 * the bound's own unit, negative when it was not.
 *
 * <p>Semantics as in signal temporal logic: the margin in value is the robustness degree of
 * Fainekos and Pappas, "Robustness of temporal logic specifications for continuous-time signals",
 * Theoretical Computer Science 410, 2009; the margin in time follows the time robustness of Donzé
 * and Maler, "Robust satisfaction of temporal logic over real-valued signals", FORMATS 2010. A
 * predicate that is only true or false counts as plus or minus infinity in value, as there.
 *
 * <p>Signals are piecewise constant: a value holds from its instant until the next one. Time is in
 * whole microseconds. Every monitor works online, keeps no history beyond what its window needs and
 * allocates nothing once its window has been as full as it gets. Instants must not go backwards;
 * several values at one instant are allowed and the last one holds.
 */
package islet.bench.margin;
