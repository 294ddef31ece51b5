/** Live runs: the wall clock, the embedded broker and the web page. */
package islet.live;
