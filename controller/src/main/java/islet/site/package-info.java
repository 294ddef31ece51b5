/**
 * The site description: read, checked and immutable. Every quantity is held in the unit its name
 * ends with; the file states the unit beside the value, and what is wrong is told with file, line,
 * field, what was found and what is allowed.
 */
package islet.site;
