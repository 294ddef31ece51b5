package islet.site;

/**
 * Where in a file a value stands.
 *
 * @param file as shown to a person
 * @param line from 1
 * @param column from 1
 */
record Location(String file, int line, int column) {}
