package islet.control;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** Warnings under keys, each to its own time; judged by the words of the order. */
class WarningBoardTest {

  private static final long SECOND = 1_000_000;
  private static final long START = FakeSite.START;

  private final WarningBoard board = new WarningBoard();
  private final Outputs out = new Outputs();

  private String told() {
    StringBuilder text = new StringBuilder();
    for (int i = 0; i < out.events(); i++) {
      text.append(out.kind(i))
          .append('/')
          .append(out.from(i))
          .append('/')
          .append(out.to(i))
          .append('/')
          .append(out.reason(i))
          .append(';');
    }
    out.begin();
    return text.toString();
  }

  @Test
  void eachStepIsTold() {
    assertEquals("", board.warn("storm", 60, START, out));
    assertEquals("warning//storm/given by a person;", told());
    assertEquals("", board.warn("storm", 90, START, out));
    assertEquals("warning/storm/storm/given anew by a person;", told());
    board.warn("ice", 30, START, out);
    told();
    board.begin(START + 30 * SECOND - 1, out);
    assertEquals("", told());
    board.begin(START + 30 * SECOND, out);
    assertEquals("warning/ice//its time is over;", told());
    assertEquals("", board.clear("storm", out));
    assertEquals("warning/storm//taken back by a person;", told());
    assertFalse(board.any());
  }

  @Test
  void givenAnewItIsThatOneThatLastsLonger() {
    board.warn("a", 10, START, out);
    board.warn("b", 20, START, out);
    board.warn("c", 30, START, out);
    board.warn("b", 50, START, out);
    assertEquals(START + 50 * SECOND, board.lastUntil());
    board.begin(START + 10 * SECOND, out);
    board.begin(START + 30 * SECOND, out);
    assertTrue(board.any());
    assertEquals("", board.clear("b", out));
    assertFalse(board.any());
    assertEquals("no such warning stands", board.clear("b", out));
    assertEquals("", board.clear("", out));
  }

  /** A week to the second, and not a second more. */
  @Test
  void aWarningLastsAtMostAWeek() {
    assertEquals("", board.warn("a", 7 * 86_400.0, START, out));
    assertEquals(START + 7 * 86_400 * SECOND, board.lastUntil());
    assertEquals(
        "a warning lasts more than 0 s and at most a week",
        board.warn("b", 7 * 86_400.0 + 0.001, START, out));
    assertEquals(
        "a warning lasts more than 0 s and at most a week",
        board.warn("b", Double.NaN, START, out));
    assertEquals("a warning needs a key: what of", board.warn("", 60, START, out));
  }

  @Test
  void ofThreeTheMiddleOneCanBeTakenBack() {
    board.warn("a", 10, START, out);
    board.warn("b", 20, START, out);
    board.warn("c", 30, START, out);
    board.clear("b", out);
    board.begin(START + 10 * SECOND, out);
    assertTrue(board.any());
    assertEquals(START + 30 * SECOND, board.lastUntil());
    board.begin(START + 30 * SECOND, out);
    assertFalse(board.any());
  }

  /** A note may have gaps where warnings have gone; what is left closes up. */
  @Test
  void whatIsKeptComesBack() {
    board.keep(
        new Given()
            .with("warning 2", "storm")
            .with("warning until 2", START + 60 * SECOND)
            .with("warning 8", "ice")
            .with("warning until 8", START + 90 * SECOND));
    assertTrue(board.any());
    assertEquals(START + 90 * SECOND, board.lastUntil());
    assertEquals("", board.clear("ice", out));
    assertEquals(START + 60 * SECOND, board.lastUntil());
    Given written = new Given();
    board.keep(written);
    assertEquals("storm", written.seen("warning 1"));
    assertEquals("", written.seen("warning 2"));
  }
}
