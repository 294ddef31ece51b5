/**
 * The parts of the documents that are made by a command, so that they cannot drift from the code:
 * tables from declarations, figures and pictures from runs.
 */
package islet.cli.document;
