/**
 * Planted defects: small wrong changes to Islet's own supervisor, each with a name, by which the
 * bench shows that its hazards can be trusted. A hazard that no planted defect can trip watches
 * nothing.
 *
 * <p>Each is a plausible slip of a programmer or of whoever enters settings, made from outside: in
 * what the supervisor is told ({@link islet.bench.defect.Eyes}), in what it orders ({@link
 * islet.bench.defect.Hands}), in the site that it takes itself to run ({@link
 * islet.bench.defect.SiteSlips}) or in what leaves it for the wire ({@link
 * islet.bench.defect.Mouth}). The code that ships has no switch for any of them.
 */
package islet.bench.defect;
