/**
 * What a reserve costs and what it buys: the bill of a span beside the hours that the emergency
 * panel would have lived, had the utility gone at any hour of it.
 */
package islet.bench.reserve;
