package islet.bench.report;

import islet.bench.RunResult;
import islet.bench.RunResult.Outcome;
import islet.bench.Sight;
import islet.bench.guided.Answer;
import islet.bench.guided.AsFound;
import islet.bench.guided.GuidedRecord;
import islet.bench.guided.Verdict;
import islet.bench.plug.Supervisors;
import java.util.Locale;

/**
 * The record of a guided rehearsal on paper: A4 or Letter, black on white, pages numbered, no step
 * torn apart, with places for signatures by hand. It also parses as XML. The same record gives the
 * same bytes.
 */
public final class RecordPage {

  /**
   * Page numbers by CSS Paged Media Module Level 3, margin boxes; the paper's size is the user's.
   */
  private static final String STYLE =
      """
      *{box-sizing:border-box}
      html{color:#000;background:#fff}
      body{margin:0 auto;max-width:52rem;padding:1.5rem;font:16px/1.45 system-ui,sans-serif;overflow-wrap:anywhere}
      h1{font-size:1.7rem;line-height:1.2;margin:0 0 .2rem}
      h2{font-size:1.2rem;margin:1.8rem 0 .5rem;padding-top:.4rem;border-top:2px solid #000;break-after:avoid}
      h3{font-size:1rem;margin:0 0 .3rem;break-after:avoid}
      p{margin:.3rem 0 .6rem}
      table{border-collapse:collapse;width:100%;font-variant-numeric:tabular-nums}
      th,td{text-align:left;vertical-align:top;padding:.2rem .6rem .2rem 0;border-bottom:1px solid #999}
      th{border-bottom-color:#000}
      thead{display:table-header-group}
      tr{break-inside:avoid}
      td.n,th.n{text-align:right;white-space:nowrap;padding-right:0}
      th:first-child,td.w{white-space:nowrap}
      .facts th:first-child,.set th:first-child{white-space:normal}
      .facts th,.set th{width:38%;font-weight:400;border-bottom-color:#999}
      .notice{border:2px solid #000;padding:.5rem .8rem;margin:.8rem 0;font-weight:700;break-inside:avoid}
      .outcome{border:4px double #000;padding:.4rem .8rem;margin:.8rem 0;break-inside:avoid}
      .outcome b{font-size:1.5rem}
      .step{border:1.5px solid #000;padding:.6rem .8rem;margin:.8rem 0;break-inside:avoid}
      .step header{display:flex;flex-wrap:wrap;gap:.2rem 1.2rem;border-bottom:1px solid #000;margin-bottom:.4rem;padding-bottom:.2rem}
      .step header .v{margin-left:auto;font-weight:700;border:1.5px solid #000;padding:0 .6rem}
      .step dl{display:grid;grid-template-columns:9.5rem 1fr;gap:.15rem .8rem;margin:0 0 .4rem}
      dt{font-weight:700}
      dd{margin:0}
      .small{font-size:.86rem}
      .sign{display:grid;grid-template-columns:1fr 1fr;gap:2.6rem 2rem;margin-top:2.6rem;break-inside:avoid}
      .sign div{border-top:1px solid #000;padding-top:.2rem;font-size:.86rem}
      .hash{font-family:ui-monospace,monospace;font-size:.8rem}
      .together{break-inside:avoid;margin-bottom:.8rem}
      h2+p{break-after:avoid}
      @media screen and (max-width:520px){
      body{padding:.8rem;font-size:15px}
      .step dl{grid-template-columns:1fr;gap:0}
      dd{margin-bottom:.4rem}
      .sign{grid-template-columns:1fr}
      }
      @media print{
      @page{margin:16mm 15mm 18mm;@bottom-left{content:"Record of a rehearsal; replaces no required test";font:8pt sans-serif}@bottom-right{content:"Page " counter(page) " of " counter(pages);font:8pt sans-serif}}
      body{max-width:none;padding:0;font-size:9.5pt}
      p{orphans:3;widows:3}
      th,td{padding-top:.1rem;padding-bottom:.1rem}
      .columns{columns:2;column-gap:2rem}
      .step{padding:.4rem .7rem;margin:.6rem 0}
      }
      """;

  private final GuidedRecord record;
  private final String digest;
  private final Html html = new Html(new StringBuilder(40_000));

  private RecordPage(GuidedRecord record, String digest) {
    this.record = record;
    this.digest = digest;
  }

  /**
   * The page, to be stored as UTF-8.
   *
   * @param digest the SHA-256 at the foot of the record's JSON
   */
  public static String html(GuidedRecord record, String digest) {
    RecordPage page = new RecordPage(record, digest);
    page.write();
    return page.html.buffer().toString();
  }

  private void write() {
    html.beginPaper("Record: " + record.result().scenario(), STYLE);
    html.element("h1", "Record of a rehearsal").raw("\n");
    html.element("p", record.result().scenario()).raw("\n");
    html.element("p class=\"notice\"", GuidedRecord.NOTICE).raw("\n");
    outcome();
    facts();
    cautions();
    settings();
    steps();
    hazards();
    expectations();
    signatures();
    foot();
    html.endPage();
  }

  private void outcome() {
    String word =
        switch (record.outcome()) {
          case PASS -> "Passed";
          case FAIL -> "Failed";
          case OPEN -> "Open: not every step was done";
        };
    html.raw("<p class=\"outcome\">").element("b", word).raw("<br/>");
    html.text(
        "Run: "
            + (record.result().passed() ? "passed" : "failed")
            + ". Steps: "
            + record.count(Verdict.PASS)
            + " passed, "
            + record.count(Verdict.FAIL)
            + " failed, "
            + record.count(Verdict.SKIP)
            + " skipped.");
    html.raw("</p>\n");
  }

  private void facts() {
    RunResult result = record.result();
    html.raw("<table class=\"facts\"><tbody>\n");
    row("Site", result.site() + " (" + record.siteId() + ")");
    row("Begun", record.begun());
    row("Signed", record.signature().when());
    row("By", record.signature().name());
    row("Simulated from", record.simulatedFrom());
    row("Simulated for", Num.duration(result.simulatedSeconds()));
    String supervisor = result.supervisor();
    row("Supervisor", supervisor.equals(Supervisors.OWN_NAME) ? "Islet's own" : supervisor);
    row("Islet", result.version());
    row("Seed", Long.toString(result.seed()));
    row("SHA-256 of the scenario", record.scenarioSha256());
    html.raw("</tbody></table>\n");
  }

  private void row(String name, String value) {
    html.raw("<tr>").element("th scope=\"row\"", name).element("td", value).raw("</tr>\n");
  }

  private void cautions() {
    html.element("h2", "Cautions").raw("\n<ul class=\"small\">\n");
    for (String caution : record.result().cautions()) {
      html.element("li", caution).raw("\n");
    }
    html.raw("</ul>\n");
  }

  private void settings() {
    html.element("h2", "Settings as found").raw("\n");
    html.element(
            "p",
            "As the site's and the profile's files had them at the run. Compare them with what the"
                + " equipment shows.")
        .raw("\n");
    html.raw("<div class=\"columns\">\n");
    for (AsFound.Group group : record.settings()) {
      html.raw("<div class=\"together\">");
      html.element("h3", group.title()).raw("\n<table class=\"set small\"><tbody>\n");
      for (AsFound.Row setting : group.rows()) {
        row(setting.name(), setting.value());
      }
      html.raw("</tbody></table></div>\n");
    }
    html.raw("</div>\n");
  }

  private void steps() {
    html.element("h2", "Steps").raw("\n");
    html.element(
            "p",
            "\"At the site\" is the bench's truth at that instant; mode and alarms are what the"
                + " supervisor told. \"Measured\" is what the person wrote down.")
        .raw("\n");
    for (GuidedRecord.Step step : record.steps()) {
      step(step);
    }
  }

  private void step(GuidedRecord.Step step) {
    Answer answer = step.answer();
    html.raw("<section class=\"step\">\n<header>");
    html.element("b", "Step " + answer.step() + " of " + record.steps().size());
    html.raw(" ").element("span", step.at()).raw(" ");
    html.element(
        "span", "after " + (step.atSeconds() == 0 ? "0 s" : Num.duration(step.atSeconds())));
    html.raw(" ").element("span class=\"v\"", answer.verdict().word().toUpperCase(Locale.ROOT));
    html.raw("</header>\n<dl>\n");
    pair("Do", step.stop().act());
    pair("See", step.stop().see());
    if (!step.stop().safety().isEmpty()) {
      pair("Caution", step.stop().safety());
    }
    pair("Mode", answer.sight().mode());
    pair(
        "Alarms standing",
        answer.sight().alarms().isEmpty() ? "none" : String.join(", ", answer.sight().alarms()));
    pair("Remark", answer.remark().isEmpty() ? Num.NONE : answer.remark());
    pair("Answered", answer.who() + ", " + answer.when());
    html.raw("</dl>\n");
    if (!answer.sight().readings().isEmpty()) {
      html.raw("<table class=\"small\"><thead><tr><th>Signal</th><th class=\"n\">At the site</th>");
      html.raw("<th class=\"n\">Measured</th></tr></thead><tbody>\n");
      for (int i = 0; i < answer.sight().readings().size(); i++) {
        Sight.Reading reading = answer.sight().readings().get(i);
        String measured = answer.measured().get(i);
        html.raw("<tr>").element("td", reading.signal()).element("td class=\"n\"", reading.text());
        html.element(
            "td class=\"n\"",
            measured.isEmpty()
                ? Num.NONE
                : new Sight.Reading(reading.signal(), measured, reading.unit()).text());
        html.raw("</tr>\n");
      }
      html.raw("</tbody></table>\n");
    }
    html.raw("</section>\n");
  }

  private void pair(String name, String text) {
    html.element("dt", name).element("dd", text).raw("\n");
  }

  private void hazards() {
    html.element("h2", "Hazards and margins").raw("\n<table class=\"small\"><thead><tr>");
    html.raw(
        "<th>Verdict</th><th>Hazard</th><th class=\"n\">Worst margin</th></tr></thead><tbody>\n");
    for (RunResult.HazardVerdict hazard : record.result().hazards()) {
      boolean occasion = hazard.firstAtSeconds() >= 0 || hazard.verdict() != Outcome.PASS;
      html.raw("<tr>").element("td class=\"w\"", occasion ? word(hazard.verdict()) : "no case");
      html.raw("<td>").text(hazard.title());
      if (hazard.verdict() != Outcome.PASS) {
        html.raw("<br/>").text(hazard.detail());
      }
      html.raw("</td>").element("td class=\"n\"", occasion ? hazard.marginText() : Num.NONE);
      html.raw("</tr>\n");
    }
    html.raw("</tbody></table>\n");
  }

  private void expectations() {
    if (record.result().expectations().isEmpty()) {
      return;
    }
    html.element("h2", "What the bench expected").raw("\n<table class=\"small\"><thead><tr>");
    html.raw(
        "<th>Verdict</th><th>Expectation</th><th class=\"n\">Margin</th></tr></thead><tbody>\n");
    for (RunResult.ExpectationVerdict expectation : record.result().expectations()) {
      html.raw("<tr>").element("td class=\"w\"", word(expectation.verdict()));
      html.element("td", expectation.text());
      html.element(
          "td class=\"n\"", Num.significant(expectation.margin()) + " " + expectation.unit());
      html.raw("</tr>\n");
    }
    html.raw("</tbody></table>\n");
  }

  private static String word(Outcome outcome) {
    return switch (outcome) {
      case PASS -> "pass";
      case FAIL -> "FAIL";
      case WAIVED -> "waived";
    };
  }

  private void signatures() {
    html.raw("<div class=\"together\">\n");
    html.element("h2", "Signatures").raw("\n");
    html.element(
            "p",
            "Typed at the rehearsal: "
                + record.signature().text()
                + " ("
                + record.signature().name()
                + ", "
                + record.signature().when()
                + ")")
        .raw("\n<div class=\"sign\">");
    for (String line :
        new String[] {
          "Carried out by: name, signature", "Date", "Witnessed by: name, signature", "Date"
        }) {
      html.element("div", line).raw("\n");
    }
    html.raw("</div>\n</div>\n");
  }

  private void foot() {
    html.raw("<div class=\"together small\">\n").element("h2", "Digest").raw("\n");
    html.element("p class=\"hash\"", "SHA-256 " + digest).raw("\n");
    html.element("p", GuidedRecord.CHECK).raw("\n");
    html.element("p", GuidedRecord.NOTICE).raw("\n</div>\n");
  }
}
