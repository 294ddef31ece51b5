/**
 * Who may connect to the embedded broker and what each may read and write there: accounts, their
 * roles, and the file they are kept in.
 */
package islet.live.account;
