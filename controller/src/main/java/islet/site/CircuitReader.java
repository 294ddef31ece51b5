package islet.site;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/** Reads load circuits. */
final class CircuitReader {

  private CircuitReader() {}

  static Site.Circuit circuit(Section s) {
    String name =
        s.text(
            "name",
            SiteReader.ID,
            SiteReader.ID_FORM,
            "Shedding and settings name the circuit by it.");
    Site.Panel panel = s.choice("panel", Site.Panel.class, "");
    Site.Load load = s.section("load", "", CircuitReader::load);
    double[] shares = s.section("shares", "", CircuitReader::shares);
    double powerFactor = s.quantity("powerFactor", Dimension.RATIO, 0.3, 1, "");
    Optional<Site.Inrush> inrush =
        s.has("inrush")
            ? Optional.of(s.section("inrush", "", CircuitReader::inrush))
            : Optional.empty();
    return new Site.Circuit(
        name, panel, load, shares[0], shares[1], shares[2], powerFactor, inrush);
  }

  private static Site.Inrush inrush(Section s) {
    return new Site.Inrush(
        s.number("factor", 1, 20, "Starting current over running current, 4 to 8 as a rule."),
        s.quantity("for", Dimension.TIME, 0.001, 60, "How long a start takes."));
  }

  private static double[] shares(Section s) {
    double z = s.quantity("impedance", Dimension.RATIO, 0, 1, "");
    double i = s.quantity("current", Dimension.RATIO, 0, 1, "");
    double p = s.quantity("power", Dimension.RATIO, 0, 1, "");
    double sum = z + i + p;
    if (Math.abs(sum - 1) > 1e-9) {
      s.wrong("impedance", "a sum of " + Decimals.text(sum), "shares that sum to 1", "");
    }
    return new double[] {z, i, p};
  }

  private static Site.Load load(Section s) {
    Optional<String> form = s.oneOf("constant", "profile", "daily", "cycling");
    return form.map(f -> load(s, f)).orElse(new Site.ConstantLoad(Double.NaN));
  }

  private static Site.Load load(Section s, String form) {
    return switch (form) {
      case "constant" -> new Site.ConstantLoad(power(s, form));
      case "profile" -> s.section(form, "", CircuitReader::profile);
      case "daily" ->
          s.section(form, "", d -> new Site.DailyLoad(power(d, "power"), d.spans("on", "")));
      default ->
          s.section(
              form,
              "",
              c ->
                  new Site.CyclingLoad(
                      power(c, "power"),
                      c.quantity("on", Dimension.TIME, 1, 86_400, ""),
                      c.quantity("off", Dimension.TIME, 1, 86_400, "")));
    };
  }

  private static double power(Section s, String name) {
    return s.quantity(name, Dimension.POWER, 0, 1e5, "At nominal voltage.");
  }

  private static Site.ProfileLoad profile(Section s) {
    Optional<Path> file = s.existingFile("file", "It has one row an hour, columns by name.");
    String column = s.text("column", "the name of a column", "");
    double factor = s.number("factor", 0, 1000, "1 takes the column as it is.");
    List<String> columns =
        file.flatMap(f -> s.problems().gather(() -> LoadFile.columns(f))).orElse(List.of());
    if (!columns.isEmpty() && !column.isEmpty() && !columns.contains(column)) {
      s.wrong("column", "one of " + String.join(", ", columns), Spelling.question(column, columns));
    }
    return new Site.ProfileLoad(file.map(InputFile::shown).orElse(""), column, factor);
  }
}
