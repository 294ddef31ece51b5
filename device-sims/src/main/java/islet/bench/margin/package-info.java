/**
 * Margins of temporal formulas over a run: not only whether a bound was kept, but by how much, in
 * the bound's own unit, negative when it was not.
 *
 * <p>Semantics as in signal temporal logic (from memory). The margin in value is the robustness
 * degree ρ of Fainekos and Pappas, "Robustness of temporal logic specifications for continuous-time
 * signals", Theoretical Computer Science 410, 2009; for a formula at an instant t
 *
 * <ul>
 *   <li>ρ(x ≥ c, t) = x(t) − c
 *   <li>ρ(¬φ, t) = −ρ(φ, t)
 *   <li>ρ(φ ∧ ψ, t) = min(ρ(φ, t), ρ(ψ, t)); of φ ∨ ψ the max
 *   <li>ρ(□[a,b] φ, t) = min of ρ(φ, t′) over t′ in [t+a, t+b]; of ◇[a,b] φ the max
 *   <li>ρ(φ U[a,b] ψ, t) = max over t′ in [t+a, t+b] of min(ρ(ψ, t′), min of ρ(φ, t″) over t″ in
 *       [t, t′]), with t′ itself in the last as in Donzé and Maler
 * </ul>
 *
 * <p>Its sign is the truth of the formula, and signals that move by no more than ε move it by no
 * more than ε: both are proved in the first paper, and tried here on random formulas. A predicate
 * that is only true or false counts as plus or minus infinity in value.
 *
 * <p>The margin in time follows the time robustness of Donzé and Maler, "Robust satisfaction of
 * temporal logic over real-valued signals", FORMATS 2010: of a predicate the left one, θ⁻(p, t), is
 * how long it has been as it is, positive while it holds and negative while it does not ({@link
 * islet.bench.margin.LeftTime}). {@link islet.bench.margin.LongestStay} is T + min(0, θ⁻(¬p, t)) at
 * its lowest, and {@link islet.bench.margin.Deadline} how much later an event could have come.
 *
 * <p>Signals are piecewise constant: a value holds from its instant until the next one. Time is in
 * whole microseconds, and windows include both their ends. A formula is judged at the instants
 * whose windows the run holds whole. Every monitor works online, keeps no history beyond what its
 * windows need, and allocates nothing once they have been as full as they get; the cost of a step
 * does not depend on their length (Donzé, Ferrère and Maler, "Efficient robust monitoring for STL",
 * CAV 2013). Instants must not go backwards; several values at one instant are allowed and the last
 * one holds.
 */
package islet.bench.margin;
