package islet.bench.check;

/**
 * One thing that is looked at.
 *
 * @param name by which documents and findings name it
 * @param worst the worst that it can find
 * @param asks what should be so
 * @param why why it matters
 * @param source where it comes from
 * @param judge looks at a site
 */
public record Rule(
    String name, Severity worst, String asks, String why, String source, Judge judge) {

  /** Looks at a site and tells what it finds. */
  @FunctionalInterface
  interface Judge {
    void judge(Subject subject, Findings findings);
  }
}
