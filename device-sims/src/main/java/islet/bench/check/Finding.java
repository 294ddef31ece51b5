package islet.bench.check;

/**
 * What a rule found.
 *
 * @param rule the rule's name
 * @param severity how bad it is here
 * @param field dotted path of the setting
 * @param file in which it stands, as shown to a person
 * @param line from 1; 0 when it was given on the command line
 * @param found what was found, with its unit, and what is asked
 * @param why why it matters
 * @param source where the rule comes from
 * @param advice what to do
 */
public record Finding(
    String rule,
    Severity severity,
    String field,
    String file,
    int line,
    String found,
    String why,
    String source,
    String advice) {}
