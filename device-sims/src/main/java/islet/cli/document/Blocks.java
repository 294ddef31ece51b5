package islet.cli.document;

import java.util.LinkedHashSet;
import java.util.Map;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * The generated blocks of a document that is otherwise written by hand. A block stands between
 * {@code <!-- generated: NAME -->} and {@code <!-- end: NAME -->}, each on a line of its own.
 */
final class Blocks {

  private static final Pattern BEGIN =
      Pattern.compile("^<!-- generated: ([a-z-]+) -->\\n", Pattern.MULTILINE);

  private Blocks() {}

  /**
   * The document with every block made anew.
   *
   * @param name of the document, for messages
   * @param blocks what belongs between the markers, by the block's name; ends with a line feed
   * @throws DocumentException when a marker has no block, a block no marker, or an end is missing
   */
  static String fill(String name, String text, Map<String, String> blocks)
      throws DocumentException {
    Set<String> unplaced = new LinkedHashSet<>(blocks.keySet());
    StringBuilder out = new StringBuilder();
    Matcher begin = BEGIN.matcher(text);
    int at = 0;
    while (begin.find(at)) {
      String block = begin.group(1);
      String end = "<!-- end: " + block + " -->\n";
      int endAt = text.indexOf(end, begin.end());
      if (!unplaced.remove(block)) {
        throw new DocumentException(
            name
                + ": found the marker of the block \""
                + block
                + "\"; allowed is each of "
                + blocks.keySet()
                + " once. Correct the marker.");
      }
      if (endAt < 0) {
        throw new DocumentException(
            name
                + ": found no line \""
                + end.strip()
                + "\" after the marker of the block. Add it where the block ends.");
      }
      out.append(text, at, begin.end()).append(blocks.getOrDefault(block, ""));
      out.append(end);
      at = endAt + end.length();
    }
    if (!unplaced.isEmpty()) {
      throw new DocumentException(
          name
              + ": found no marker for the blocks "
              + unplaced
              + ". Add lines \"<!-- generated: NAME -->\" and \"<!-- end: NAME -->\" where they"
              + " belong.");
    }
    return out.append(text, at, text.length()).toString();
  }
}
