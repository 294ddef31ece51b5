/**
 * The journal: what must outlive the process, appended record by record to files in one folder,
 * each record with its length and checksum, readable again whatever byte it was cut off at.
 */
package islet.executive.journal;
