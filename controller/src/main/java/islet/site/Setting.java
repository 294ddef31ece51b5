package islet.site;

/**
 * A value that takes the place of one in a file, for one run.
 *
 * @param path dotted path of the field, such as {@code supervision.onSag}; a list's entry is named
 *     by its {@code name} or by its number from 1, such as {@code circuits.radio.panel}
 * @param value the new value as YAML text
 * @param file the file that asks for it, as shown to a person
 * @param line the line that asks for it, from 1
 */
public record Setting(String path, String value, String file, int line) {}
