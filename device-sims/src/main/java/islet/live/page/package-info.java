/**
 * The live page's server: the page's files and what it needs to know, over HTTP on this machine's
 * own address. The page itself is a client of the broker as any other. The page of a guided
 * rehearsal has no broker, since its run is in virtual time; it sends its answers to the server.
 */
package islet.live.page;
