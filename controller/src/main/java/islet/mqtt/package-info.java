/**
 * The port to a real MQTT 5 broker, over the Paho client. Its users see {@link islet.contract.Port}
 * and nothing of the client library.
 */
package islet.mqtt;
