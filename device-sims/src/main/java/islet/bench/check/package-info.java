/**
 * Reads a site's settings as an experienced commissioning technician would: the figures one asks
 * first, then what is wrong or doubtful, why, by what source, and what to do. Nothing is run; the
 * plant's own models are asked for single values where a rule needs one.
 */
package islet.bench.check;
