/**
 * Message records, topics, units and the JSON codec: the one definition of what crosses the wire.
 */
package islet.contract;
