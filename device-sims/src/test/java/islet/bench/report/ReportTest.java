package islet.bench.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.EventLog;
import islet.bench.RunRecord;
import islet.bench.RunResult;
import islet.bench.Sample;
import islet.bench.Signal;
import islet.bench.Trace;
import islet.bench.VoltageExcursion;
import java.io.ByteArrayInputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TimeZone;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.Test;
import org.w3c.dom.Document;
import org.w3c.dom.Element;
import org.w3c.dom.NodeList;

/** The page judged from outside: by an XML parser, by what a browser would fetch, by its size. */
class ReportTest {

  @Test
  void thePageIsWellFormedXml() throws Exception {
    assertEquals(
        "html", parse(Report.html(EveningOutage.good())).getDocumentElement().getTagName());
    assertEquals("html", parse(Report.html(EveningOutage.bad())).getDocumentElement().getTagName());
  }

  @Test
  void theVerdictIsAWordAndComesBeforeEverythingElse() throws Exception {
    for (boolean good : new boolean[] {true, false}) {
      Document page = parse(Report.html(good ? EveningOutage.good() : EveningOutage.bad()));
      String body = page.getElementsByTagName("main").item(0).getTextContent();
      int verdict = body.indexOf(good ? "Passed" : "Failed");
      assertTrue(verdict >= 0 && verdict < body.indexOf("Hazards"), body.substring(0, 200));
      assertFalse(body.contains(good ? "Failed" : "Passed"));
    }
  }

  @Test
  void cautionsStandOnTheFaceOfThePage() throws Exception {
    String face =
        parse(Report.html(EveningOutage.good()))
            .getElementsByTagName("aside")
            .item(0)
            .getTextContent();
    for (String word :
        List.of(
            "Backfeed",
            "Stored energy",
            "DC arcs",
            "Battery gas",
            "Lock out",
            "Local codes",
            "licensed",
            "certified device protection protects")) {
      assertTrue(face.contains(word), word);
    }
  }

  /** A reader without network or script sees the same: nothing is fetched, nothing is run. */
  @Test
  void nothingComesFromOutside() throws Exception {
    String text = Report.html(EveningOutage.good());
    Document page = parse(text);
    for (String tag : List.of("script", "link", "img", "iframe", "object", "image", "use")) {
      assertEquals(0, page.getElementsByTagName(tag).getLength(), tag);
    }
    assertFalse(text.contains("@import"));
    assertTrue(text.contains("default-src 'none'"));
    String withoutNames =
        text.replace("xmlns=\"http://www.w3.org/2000/svg\"", "")
            .replace("xmlns=\"http://www.w3.org/1999/xhtml\"", "");
    assertFalse(withoutNames.contains("://"), "an address is left in the page");
  }

  @Test
  void everyLinkOfTheContentsLeadsToASection() throws Exception {
    Document page = parse(Report.html(EveningOutage.good()));
    Set<String> sections = new HashSet<>();
    for (Element section : elements(page, "section")) {
      assertTrue(sections.add(section.getAttribute("id")), section.getAttribute("id"));
    }
    Set<String> links = new HashSet<>();
    for (Element link : elements(page, "a")) {
      links.add(link.getAttribute("href").substring(1));
    }
    assertEquals(sections, links);
  }

  @Test
  void textsAreEscaped() throws Exception {
    String evil = "<script>alert(\"1\")</script> & 'so' ]]> \u0000 \ud800 \u0007";
    String text = Report.html(EveningOutage.named(evil, "a: <b> & \"c\"\n"));
    assertFalse(text.contains("<script"));
    Document page = parse(text);
    assertEquals(
        "<script>alert(\"1\")</script> & 'so' ]]> \ufffd \ufffd \ufffd",
        page.getElementsByTagName("h1").item(0).getTextContent());
    assertEquals("a: <b> & \"c\"\n", page.getElementsByTagName("pre").item(0).getTextContent());
  }

  @Test
  void theSameRunGivesTheSameBytesInAnyZoneAndLanguage() {
    String first = Report.html(EveningOutage.good());
    TimeZone zone = TimeZone.getDefault();
    Locale locale = Locale.getDefault();
    try {
      TimeZone.setDefault(TimeZone.getTimeZone("Asia/Kolkata"));
      Locale.setDefault(new Locale("tr", "TR"));
      assertEquals(first, Report.html(EveningOutage.good()));
    } finally {
      TimeZone.setDefault(zone);
      Locale.setDefault(locale);
    }
  }

  /** The bound is a megabyte for a day at a row every ten seconds. */
  @Test
  void aDayStaysBelowAMegabyte() throws Exception {
    assertTrue(bytes(Report.html(restless(8640, 10, 200))) < 1_000_000);
  }

  /** The bound is two megabytes for a year, however restless it was. */
  @Test
  void aRestlessYearStaysBelowTwoMegabytes() throws Exception {
    String page = Report.html(restless(365 * 96, 900, 5000));
    assertTrue(bytes(page) < 2_000_000, "bytes " + bytes(page));
    parse(page);
    assertTrue(page.contains("events stand in events.csv"), "it says what it leaves out");
  }

  @Test
  void aRunWithNothingToTellStillMakesAPage() throws Exception {
    RunRecord good = EveningOutage.good();
    RunResult empty =
        new RunResult(
            "Nothing", "s", 1, "0", 0, true, List.of(), List.of(), List.of(), List.of(), List.of(),
            List.of(), List.of());
    RunRecord data =
        new RunRecord(
            empty, new Trace(), new EventLog(), good.site(), EveningOutage.START, "", List.of());
    assertTrue(parse(Report.html(data)).getDocumentElement().getTextContent().contains("Passed"));
  }

  private static RunRecord restless(int rows, long stepSeconds, int transitions) {
    RunRecord good = EveningOutage.good();
    Trace trace = new Trace();
    Sample sample = new Sample();
    for (int row = 0; row < rows; row++) {
      sample.at(EveningOutage.START + row * stepSeconds * 1_000_000L);
      int scramble = row * 7919 % 1009;
      for (Signal signal : Signal.all()) {
        int words = signal.words().size();
        sample.set(signal, words > 0 ? scramble % words : scramble * (signal.ordinal() + 1) / 37.0);
      }
      trace.add(sample);
    }
    RunResult r = good.result();
    EventLog events = new EventLog();
    List<RunResult.Transition> moves = new ArrayList<>();
    List<VoltageExcursion> excursions = new ArrayList<>();
    List<RunResult.AlarmEntry> alarms = new ArrayList<>();
    for (int i = 0; i < transitions; i++) {
      double at = (double) i * rows * stepSeconds / transitions;
      moves.add(new RunResult.Transition(at, "GRID_PRESENT", "ISLANDING", "the utility is gone"));
      excursions.add(
          new VoltageExcursion(
              EveningOutage.START + (long) (at * 1e6),
              0.001 * (i + 1),
              i % 140 / 100.0,
              i % 3 > 0,
              "n"));
      alarms.add(new RunResult.AlarmEntry(at, "A", "HIGH", "text", "consequence", "action"));
      for (int k = 0; k < 4; k++) {
        events.add(EveningOutage.START + (long) (at * 1e6) + k, "tie", "contact", "a", "b", "why");
      }
    }
    RunResult result =
        new RunResult(
            r.scenario(),
            r.site(),
            r.seed(),
            r.version(),
            (double) rows * stepSeconds,
            true,
            r.hazards(),
            r.expectations(),
            moves,
            r.energy(),
            r.cost(),
            alarms,
            r.cautions());
    return new RunRecord(
        result, trace, events, good.site(), EveningOutage.START, "title: long\n", excursions);
  }

  private static int bytes(String page) {
    return page.getBytes(StandardCharsets.UTF_8).length;
  }

  private static List<Element> elements(Document page, String tag) {
    NodeList nodes = page.getElementsByTagName(tag);
    List<Element> elements = new ArrayList<>();
    for (int i = 0; i < nodes.getLength(); i++) {
      elements.add((Element) nodes.item(i));
    }
    return elements;
  }

  static Document parse(String text) throws Exception {
    DocumentBuilderFactory factory = DocumentBuilderFactory.newInstance();
    factory.setFeature("http://xml.org/sax/features/external-general-entities", false);
    return factory
        .newDocumentBuilder()
        .parse(new ByteArrayInputStream(text.getBytes(StandardCharsets.UTF_8)));
  }
}
