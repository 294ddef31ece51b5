package islet.cli;

import islet.site.Setting;
import java.util.ArrayList;
import java.util.List;
import picocli.CommandLine;
import picocli.CommandLine.ParameterException;

/**
 * A setting as it is written on the command line: {@code supervision.reserve=30%}, or with several
 * values {@code supervision.reserve=30%,50%,70%}.
 */
record VarySetting(String path, String value) {

  /** Splits at the first equals sign; empty parts are told by the caller. */
  static VarySetting parse(String text) {
    int equals = text.indexOf('=');
    return equals < 0
        ? new VarySetting(text.strip(), "")
        : new VarySetting(text.substring(0, equals).strip(), text.substring(equals + 1).strip());
  }

  /**
   * Settings as an option gives them, several times; the last one of a path counts.
   *
   * @throws ParameterException when one of them is not a path and a value
   */
  static List<Setting> all(List<String> texts, String option, CommandLine command) {
    List<Setting> settings = new ArrayList<>();
    for (String text : texts) {
      VarySetting set = parse(text);
      if (!set.complete()) {
        throw new ParameterException(
            command,
            option
                + ": found \""
                + text
                + "\"; allowed is a dotted path into the site and a value, for example"
                + " supervision.onSag=ride-through.");
      }
      settings.removeIf(earlier -> earlier.path().equals(set.path()));
      settings.add(set.setting(option));
    }
    return settings;
  }

  boolean complete() {
    return !path.isEmpty() && !value.isEmpty();
  }

  /** The values between commas; a comma within brackets, braces or quotes belongs to its value. */
  List<String> values() {
    List<String> values = new ArrayList<>();
    StringBuilder one = new StringBuilder();
    int depth = 0;
    char quote = 0;
    for (int i = 0; i < value.length(); i++) {
      char c = value.charAt(i);
      if (quote != 0) {
        quote = c == quote ? 0 : quote;
      } else if (c == '"' || c == '\'') {
        quote = c;
      } else if (c == '[' || c == '{') {
        depth++;
      } else if (c == ']' || c == '}') {
        depth--;
      }
      if (c == ',' && depth <= 0 && quote == 0) {
        values.add(one.toString().strip());
        one.setLength(0);
      } else {
        one.append(c);
      }
    }
    values.add(one.toString().strip());
    return values;
  }

  /** As a setting of a scenario, asked for by an option of the command line. */
  Setting setting(String option) {
    return new Setting(path, value, option, 0);
  }
}
