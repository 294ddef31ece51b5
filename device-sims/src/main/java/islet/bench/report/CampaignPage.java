package islet.bench.report;

import islet.bench.Hazards;
import islet.bench.campaign.Campaign;
import islet.bench.campaign.CampaignText;
import islet.bench.campaign.CaseRow;
import islet.bench.campaign.Tally;
import islet.bench.campaign.Tally.Cell;
import islet.contract.Decimal;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/**
 * A campaign as one self-contained page in UTF-8 that also parses as XML: the verdict, a map of
 * mishaps against modes and one of mishaps against hazards, failures, what came nearest. The same
 * rows give the same bytes.
 */
public final class CampaignPage {

  /** Below this share of the undisturbed distance a field is marked as near. */
  private static final double NEAR = 0.1;

  private static final double MIDDLING = 0.5;

  private final Tally tally;
  private final boolean complete;
  private final String supervisor;
  private final String version;
  private final List<String> shrunk;
  private final Html html = new Html(new StringBuilder(80_000));

  private CampaignPage(
      Tally tally, boolean complete, String supervisor, String version, List<String> shrunk) {
    this.tally = tally;
    this.complete = complete;
    this.supervisor = supervisor;
    this.version = version;
    this.shrunk = List.copyOf(shrunk);
  }

  /**
   * The page, to be stored as UTF-8.
   *
   * @param shrunk the files of shrunk failures, from the page's folder
   */
  public static String html(
      Tally tally, boolean complete, String supervisor, String version, List<String> shrunk) {
    CampaignPage page = new CampaignPage(tally, complete, supervisor, version, shrunk);
    page.write();
    return page.html.buffer().toString();
  }

  private void write() {
    Campaign campaign = tally.campaign();
    html.beginPage("Campaign: " + campaign.title());
    html.element("h1", campaign.title()).raw("\n<p>");
    String verdict = CampaignText.verdict(tally, complete);
    boolean bad = tally.failed() > 0;
    html.element(bad ? "span class=\"word bad\"" : "span class=\"word\"", word(verdict));
    html.text(
        " "
            + tally.cases()
            + " cases, "
            + tally.failed()
            + " failed, "
            + tally.waived()
            + " waived. Seed "
            + campaign.seed()
            + ", supervisor "
            + supervisor
            + ", Islet "
            + version
            + ", "
            + campaign.shown()
            + ".");
    html.raw("</p>\n");
    if (campaign.method() instanceof Campaign.Planted) {
      rows("planted", "What was planted, and what caught it", tally.planted());
      rows("failures", "Not caught, or failing without a defect", tally.failures());
      care();
      return;
    }
    map(
        "modes",
        "Mishap against mode",
        "Each field is the worst of its cases: the hazard that came nearest, and how much of the"
            + " undisturbed run's distance to it was left. 0 % is the hazard itself.",
        tally.modes(),
        tally::inMode,
        true);
    map(
        "hazards",
        "Mishap against hazard",
        "The worst of all cases of a mishap, for each hazard.",
        Hazards.IDS,
        tally::toHazard,
        false);
    rows("failures", "Failures", tally.failures());
    shrunk();
    rows("nearest", "Nearest among those that passed", tally.nearest());
    waivers();
    care();
  }

  private void care() {
    html.raw("<aside class=\"care\"><p>Islet rehearses; certified device protection protects. ");
    html.raw("A campaign says something about simulated devices and replaces no test that an ");
    html.raw("authority or a code asks for. Before live work: isolate, lock out, prove dead; ");
    html.raw("beware of backfeed, stored energy, DC arcs and battery gas. Local codes and a ");
    html.raw("licensed person decide.</p></aside>\n").endPage();
  }

  private static String word(String verdict) {
    return verdict.charAt(0) + verdict.substring(1).toLowerCase(Locale.ROOT);
  }

  private interface Field {
    Optional<Cell> at(String mishap, String column);
  }

  private void map(
      String id, String heading, String words, List<String> columns, Field field, boolean named) {
    html.section(id, heading);
    html.element("p class=\"quiet\"", words).raw("\n<div class=\"wide\" tabindex=\"0\">\n");
    html.raw("<table class=\"map\"><thead><tr><th></th>");
    columns.forEach(
        column -> html.element("th class=\"n\"", column.replace('-', ' ').replace('_', ' ')));
    html.raw("</tr></thead><tbody>\n");
    for (String mishap : tally.mishaps()) {
      html.raw("<tr><td>").text(mishap).raw("</td>");
      columns.forEach(column -> cell(field.at(mishap, column), named));
      html.raw("</tr>\n");
    }
    html.raw("</tbody></table>\n</div>\n</section>\n");
  }

  private void cell(Optional<Cell> cell, boolean named) {
    if (cell.isEmpty()) {
      html.raw("<td class=\"n quiet\">–</td>");
      return;
    }
    Cell c = cell.get();
    boolean violated = c.least() < 0;
    String look = violated ? "h3" : c.least() < NEAR ? "h2" : c.least() < MIDDLING ? "h1" : "h0";
    html.raw("<td class=\"n ").raw(look).raw("\" title=\"");
    html.text(c.cases() + " cases, " + c.failed() + " failed, " + c.waived() + " waived; case ");
    html.text(c.id() + " is the worst").raw("\">");
    html.text(Decimal.text(100 * Math.max(-9.99, Math.min(9.99, c.least())), 0) + " %");
    if (violated) {
      html.raw(c.failed() > 0 ? " <b>fail</b>" : " waived");
    }
    if (named) {
      html.raw("<br/>").element("span class=\"why\"", c.hazard());
    }
    html.raw("</td>");
  }

  private void rows(String id, String heading, List<CaseRow> rows) {
    html.section(id, heading);
    if (rows.isEmpty()) {
      html.raw("<p>None.</p>\n</section>\n");
      return;
    }
    html.raw("<div class=\"wide\" tabindex=\"0\">\n<table><thead><tr><th class=\"n\">Case</th>");
    html.raw("<th>Mishap</th><th>Course, mode, instant</th><th>Hazard</th>");
    html.raw("<th class=\"n\">Left</th><th>What happened</th></tr></thead><tbody>\n");
    for (CaseRow row : rows) {
      html.raw("<tr><td class=\"n\">").text("" + row.id()).raw("</td><td>").text(row.mishap());
      html.raw("</td><td>").text(row.course() + " " + row.mode());
      if (row.atMicros() >= 0) {
        html.text(" " + Decimal.text(row.atMicros() / 1e6, 3) + " s");
      }
      html.raw("</td><td>").text(row.hazard()).raw("</td><td class=\"n\">");
      html.text(Decimal.text(100 * Math.max(-9.99, Math.min(9.99, row.share())), 0) + " %");
      html.raw("</td><td>").text(row.detail()).raw("</td></tr>\n");
    }
    html.raw("</tbody></table>\n</div>\n</section>\n");
  }

  private void shrunk() {
    if (shrunk.isEmpty()) {
      return;
    }
    html.section("shrunk", "Failures with the fewest events");
    html.raw("<p>One for each mishap and hazard; run one again with: rehearse FILE</p>\n<ul>\n");
    for (String file : shrunk) {
      html.raw("<li><a href=\"").text(file).raw("\">").text(file).raw("</a></li>\n");
    }
    html.raw("</ul>\n</section>\n");
  }

  private void waivers() {
    List<Campaign.Waiver> waivers = tally.campaign().waivers();
    if (waivers.isEmpty()) {
      return;
    }
    html.section("waived", "Waived, and why").raw("<ul>\n");
    for (Campaign.Waiver waiver : waivers) {
      html.raw("<li>").element("b", waiver.hazard() + " with " + waiver.kind());
      html.text(": " + waiver.because()).raw("</li>\n");
    }
    html.raw("</ul>\n</section>\n");
  }
}
