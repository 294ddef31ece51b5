/** The commands of {@code ./islet}. */
package islet.cli;
