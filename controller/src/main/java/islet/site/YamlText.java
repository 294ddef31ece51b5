package islet.site;

import java.util.regex.Pattern;

/** Text as YAML. */
public final class YamlText {
  /** What needs no quotes wherever it stands: no sign in it means anything to YAML. */
  private static final Pattern PLAIN =
      Pattern.compile(
          "(?!(?i:null)$)(?:-\\d|[\\p{L}\\d./+])(?:[\\p{L}\\d ./+%°_-]*[\\p{L}\\d./+%°_-])?");

  private YamlText() {}

  /** A text as a YAML scalar in one line, in double quotes where it needs them. */
  public static String scalar(String text) {
    return PLAIN.matcher(text).matches() ? text : quoted(text);
  }

  private static String quoted(String text) {
    StringBuilder quoted = new StringBuilder("\"");
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      if (c == '"' || c == '\\') {
        quoted.append('\\').append(c);
      } else if (c < ' ' || c == 0x7f) {
        quoted.append(String.format("\\x%02x", (int) c));
      } else {
        quoted.append(c);
      }
    }
    return quoted.append('"').toString();
  }
}
