package islet.bench.check;

import java.util.List;

/**
 * What one rule has to tell.
 *
 * @param rule that looks
 * @param fields where the settings stand
 * @param all takes what is found
 */
record Findings(Rule rule, Fields fields, List<Finding> all) {

  /**
   * Tells of one thing.
   *
   * @param field dotted path of the setting to look at; the part that holds it stands in for one
   *     that the file leaves out
   * @param found what was found and what is asked
   * @param advice what to do
   */
  void tell(Severity severity, String field, String found, String advice) {
    if (severity.worseThan(rule.worst())) {
      throw new IllegalStateException(
          rule.name() + " found " + severity + " and may find " + rule.worst() + " at worst");
    }
    Fields.Place place = fields.place(field);
    all.add(
        new Finding(
            rule.name(),
            severity,
            field,
            place.file(),
            place.line(),
            found,
            rule.why(),
            rule.source(),
            advice));
  }
}
