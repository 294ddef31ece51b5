package islet.site;

/**
 * One thing that is wrong in a file that a person wrote.
 *
 * @param file the file as it is shown to the person
 * @param line from 1; 0 when the file as a whole is meant
 * @param field dotted path of the field; empty when the file as a whole is meant
 * @param found what stands there, in quotes when it is the file's own text
 * @param allowed what may stand there
 * @param advice what to do, as a sentence; may be empty
 */
public record Problem(
    String file, int line, String field, String found, String allowed, String advice) {

  /** The problem as one line that a person can act upon. */
  @Override
  public String toString() {
    StringBuilder sentence = new StringBuilder(file).append(':');
    if (line > 0) {
      sentence.append(line).append(':');
    }
    sentence.append(' ');
    if (!field.isEmpty()) {
      sentence.append(field).append(": ");
    }
    sentence.append("found ").append(found).append("; allowed is ").append(allowed).append('.');
    if (!advice.isEmpty()) {
      sentence.append(' ').append(advice);
    }
    return sentence.toString();
  }
}
