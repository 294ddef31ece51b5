package islet.bench.check;

import islet.bench.Cautions;
import islet.site.Setting;
import islet.site.Site;
import islet.site.SiteReader;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * What a check of a site says.
 *
 * @param site the site
 * @param assumptions on which figures and findings rest
 * @param figures those asked first
 * @param findings worst first, then in the file's order
 * @param rules how many rules looked
 * @param cautions for who goes on from here to the real site
 */
public record SiteCheck(
    Site site,
    Assumptions assumptions,
    List<Figure> figures,
    List<Finding> findings,
    int rules,
    List<String> cautions) {

  public SiteCheck {
    figures = List.copyOf(figures);
    findings = List.copyOf(findings);
    cautions = List.copyOf(cautions);
  }

  /**
   * Reads a site and lets every rule look at it.
   *
   * @param settings values that take the place of the file's own
   * @throws islet.site.InputException with everything that is wrong in the files, before any rule
   */
  public static SiteCheck of(Path file, List<Setting> settings, Assumptions assumptions) {
    Site site = SiteReader.read(file, settings);
    Subject subject = new Subject(site, assumptions);
    Fields fields = Fields.of(file, settings);
    List<Finding> findings = new ArrayList<>();
    List<Rule> rules = Rules.all();
    for (Rule rule : rules) {
      rule.judge().judge(subject, new Findings(rule, fields, findings));
    }
    findings.sort(Comparator.comparing(Finding::severity).thenComparingInt(Finding::line));
    return new SiteCheck(
        site, assumptions, Figures.of(subject), findings, rules.size(), Cautions.usual());
  }

  /** How many findings are of a severity. */
  public long count(Severity severity) {
    return findings.stream().filter(finding -> finding.severity() == severity).count();
  }

  /** Whether nothing is wrong or dangerous. */
  public boolean passed() {
    return count(Severity.DANGER) + count(Severity.WRONG) == 0;
  }
}
