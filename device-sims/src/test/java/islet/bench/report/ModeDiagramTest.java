package islet.bench.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.Mode;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.w3c.dom.Document;

/** The picture judged by plane geometry, in the worst case: every mode linked with every other. */
class ModeDiagramTest {

  private static List<ModeRow> everyWay() {
    List<ModeRow> rows = new ArrayList<>();
    for (Mode from : Mode.values()) {
      for (Mode to : Mode.values()) {
        if (from != to) {
          rows.add(row(from.name(), to.name()));
        }
      }
    }
    rows.add(row(ModeDiagram.ANY, Mode.HELD.name()));
    return rows;
  }

  private static ModeRow row(String from, String to) {
    return new ModeRow(from, "utility gone", "a | b", to, "open the tie", "");
  }

  @Test
  void allSevenModesAndEveryNumberAreInThePicture() throws Exception {
    Document picture = ReportTest.parse(ModeDiagram.svg(everyWay()));
    List<String> texts = new ArrayList<>();
    for (int i = 0; i < picture.getElementsByTagName("text").getLength(); i++) {
      texts.add(picture.getElementsByTagName("text").item(i).getTextContent());
    }
    for (Mode mode : Mode.values()) {
      assertEquals(1, texts.stream().filter(mode.name()::equals).count(), mode.name());
    }
    for (int number = 1; number <= everyWay().size(); number++) {
      assertTrue(texts.contains(Integer.toString(number)), "row " + number);
    }
  }

  @Test
  void noBoxTouchesAnother() {
    for (Mode one : Mode.values()) {
      for (Mode other : Mode.values()) {
        ModeLayout.Point a = ModeLayout.centre(one.name());
        ModeLayout.Point b = ModeLayout.centre(other.name());
        boolean apart =
            Math.abs(a.x() - b.x()) > ModeLayout.BOX_WIDTH + 20
                || Math.abs(a.y() - b.y()) > ModeLayout.BOX_HEIGHT + 20;
        assertTrue(one == other || apart, one + " and " + other);
      }
    }
  }

  @Test
  void noArrowRunsOverAThirdMode() {
    for (ModeLayout.Arrow arrow : new ModeLayout(everyWay()).arrows()) {
      for (Mode mode : Mode.values()) {
        if (!mode.name().equals(arrow.from()) && !mode.name().equals(arrow.to())) {
          for (ModeLayout.Point point : arrow.way()) {
            assertTrue(
                ModeLayout.toBox(mode.name(), point) > 5,
                arrow.from() + " to " + arrow.to() + " over " + mode);
          }
        }
      }
    }
  }

  @Test
  void noNumberCoversAnotherOrAMode() {
    List<ModeLayout.Label> labels = new ModeLayout(everyWay()).labels();
    for (int i = 0; i < labels.size(); i++) {
      ModeLayout.Label one = labels.get(i);
      for (ModeLayout.Label other : labels.subList(0, i)) {
        boolean apart =
            Math.abs(one.at().x() - other.at().x()) > one.halfWidth() + other.halfWidth()
                || Math.abs(one.at().y() - other.at().y()) > 2 * ModeLayout.LABEL_RADIUS;
        assertTrue(apart, one.numbers() + " and " + other.numbers());
      }
      for (Mode mode : Mode.values()) {
        double gap = ModeLayout.toBox(mode.name(), one.at()) - one.halfWidth();
        assertTrue(gap > 0, one.numbers() + " on " + mode);
      }
    }
  }

  @Test
  void allArrowsStayInsideThePaper() {
    for (ModeLayout.Arrow arrow : new ModeLayout(everyWay()).arrows()) {
      for (ModeLayout.Point point : arrow.way()) {
        assertTrue(point.x() > 20 && point.x() < ModeLayout.WIDTH - 20, arrow.numbers());
        assertTrue(point.y() > 20 && point.y() < ModeLayout.HEIGHT - 40, arrow.numbers());
      }
    }
  }

  @Test
  void rowsOfOneWayShareAnArrow() {
    ModeLayout layout =
        new ModeLayout(
            List.of(row("STARTING", "HELD"), row("HELD", "STARTING"), row("STARTING", "HELD")));
    assertEquals(2, layout.arrows().size());
    assertEquals("1, 3", layout.labels().get(0).numbers());
  }

  @Test
  void anUnknownModeIsNamedWithItsRow() {
    IllegalArgumentException thrown =
        assertThrows(
            IllegalArgumentException.class,
            () -> ModeDiagram.svg(List.of(row("STARTING", "HELD"), row("HELD", "ASLEEP"))));
    assertTrue(
        thrown.toString().contains("Row 2 of the mode table names the mode \"ASLEEP\""),
        thrown.toString());
  }

  @Test
  void theTableHasARowForEachNumberAndKeepsItsColumns() {
    String[] lines = ModeDiagram.markdown(everyWay()).split("\n", -1);
    assertEquals(everyWay().size() + 3, lines.length);
    assertEquals(
        "| 1 | `STARTING` | utility gone | a \\| b | `GRID_PRESENT` | open the tie | – |",
        lines[2]);
  }

  @Test
  void theSameRowsGiveTheSamePicture() {
    assertEquals(ModeDiagram.svg(everyWay()), ModeDiagram.svg(everyWay()));
  }
}
