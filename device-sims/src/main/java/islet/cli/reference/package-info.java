/**
 * The published values that Islet is held against, and what Islet makes of them when it is asked:
 * read from the files that ship, or measured in short rehearsals.
 */
package islet.cli.reference;
