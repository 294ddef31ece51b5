package islet.live.page;

import java.util.List;

/**
 * What the page of two sites beside each other needs, as it is written in JSON: what both share,
 * and the {@link Description} of each, of which the sign-in and the times are the same.
 *
 * @param run counts the runs of this process
 * @param scenario the name of what is played
 * @param alone whether it is a site without a scenario
 * @param startAt when the run began, in site time
 * @param endAt when it is over, in site time
 * @param sites the first one, and the one beside it
 * @param leftOut events of the scenario that the second site has no part for, each in words
 * @param mode {@code beside}
 */
record BesideDescription(
    long run,
    String scenario,
    String title,
    boolean alone,
    String startAt,
    String endAt,
    SignIn mqtt,
    List<Description> sites,
    List<String> leftOut,
    String mode) {}
