/**
 * What a person reads after a run: one self-contained page, its charts, and the pictures of the
 * docs. Takes what the bench has judged and recorded and judges nothing itself. No script, no
 * outside host, no clock: the same run gives the same bytes.
 */
package islet.bench.report;
