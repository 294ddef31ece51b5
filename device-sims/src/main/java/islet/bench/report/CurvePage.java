package islet.bench.report;

import islet.bench.reserve.CurveText;
import islet.bench.reserve.ReserveCurve;
import islet.bench.reserve.ReservePoint;
import java.util.List;

/**
 * A reserve curve as one self-contained page in UTF-8 that also parses as XML, readable without
 * script, colour or network, on a wall or on paper. The same curve gives the same bytes.
 */
public final class CurvePage {

  private final ReserveCurve curve;
  private final Html html = new Html(new StringBuilder(20_000));

  private CurvePage(ReserveCurve curve) {
    this.curve = curve;
  }

  /** The page, to be stored as UTF-8. */
  public static String html(ReserveCurve curve) {
    CurvePage page = new CurvePage(curve);
    page.write();
    return page.html.buffer().toString();
  }

  private void write() {
    head();
    html.raw("<figure>\n<div class=\"wide\" tabindex=\"0\">\n");
    CurvePicture.draw(html.buffer(), curve);
    html.raw("</div>\n</figure>\n");
    table();
    shortest();
    proofs();
    html.raw("<aside class=\"care\"><p>Islet rehearses; certified device protection protects. ");
    html.raw("This page compares simulations on past or typical weather and promises nothing of ");
    html.raw("the next outage. Before live work: isolate, lock out, prove dead; beware of ");
    html.raw(
        "backfeed, stored energy, DC arcs and battery gas. Local codes and a licensed person ");
    html.raw("decide.</p></aside>\n").endPage();
  }

  private void head() {
    String title = "Reserve against savings: " + curve.scenario().title();
    html.beginPage(title);
    html.element("h1", title).raw("\n");
    html.element(
        "p class=\"run\"",
        curve.scenario().site().name()
            + " · "
            + Num.duration(curve.scenario().durationMicros() / 1e6)
            + " · seed "
            + curve.scenario().seed()
            + " · Islet "
            + curve.version());
    html.raw("\n");
    html.element("p", String.join(" ", CurveText.about(curve))).raw("\n");
    if (!CurveText.notes(curve).isEmpty()) {
      html.raw("<aside class=\"care\" aria-label=\"Before deciding\">\n");
      CurveText.notes(curve).forEach(note -> html.element("p", note).raw("\n"));
      html.raw("</aside>\n");
    }
  }

  private void table() {
    html.section("reserves", "What each reserve costs and buys");
    html.raw("<div class=\"wide\" tabindex=\"0\">\n");
    rows(
        List.of(
            "Reserve",
            "Bill, " + curve.points().get(0).currency(),
            "Median",
            "5th percentile",
            "Worst",
            CurveText.hours(curve.outageMicros()) + " survived"),
        curve.points().stream().map(point -> CurveText.cells(curve, point)).toList());
    html.raw("</div>\n</section>\n");
  }

  private void rows(List<String> head, List<List<String>> rows) {
    html.raw("<table><thead><tr>");
    for (int i = 0; i < head.size(); i++) {
      html.element(i == 0 ? "th" : "th class=\"n\"", head.get(i));
    }
    html.raw("</tr></thead><tbody>\n");
    for (List<String> row : rows) {
      html.raw("<tr>");
      for (int i = 0; i < row.size(); i++) {
        html.element(i == 0 ? "td" : "td class=\"n\"", row.get(i));
      }
      html.raw("</tr>\n");
    }
    html.raw("</tbody></table>\n");
  }

  private void shortest() {
    html.section("shortest", "The shortest outages");
    html.raw("<table><thead><tr><th class=\"tag\">Reserve</th>");
    html.raw("<th>Panel dark after, by the hour at which the utility went</th></tr></thead>");
    html.raw("<tbody>\n");
    for (ReservePoint point : curve.points()) {
      html.raw("<tr>").element("td", point.reserve());
      html.element("td", CurveText.worst(curve, point)).raw("</tr>\n");
    }
    html.raw("</tbody></table>\n</section>\n");
  }

  private void proofs() {
    if (curve.proofs().isEmpty()) {
      return;
    }
    html.section("rehearsed", "Outages rehearsed whole, beside the account of energy");
    html.raw("<div class=\"wide\" tabindex=\"0\">\n");
    rows(
        List.of("Reserve", "Began", "Account", "Rehearsed", ""),
        curve.proofs().stream()
            .map(
                proof ->
                    List.of(
                        proof.reserve(),
                        CurveText.local(curve, proof.account()),
                        CurveText.lasted(proof.account()),
                        CurveText.lasted(proof.rehearsed()),
                        proof.close() ? "close" : "apart"))
            .toList());
    html.raw("</div>\n</section>\n");
  }
}
