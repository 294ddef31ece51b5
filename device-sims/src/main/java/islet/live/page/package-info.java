/**
 * The live page's server: the page's files and what it needs to know, over HTTP on this machine's
 * own address. The page itself is a client of the broker as any other.
 */
package islet.live.page;
