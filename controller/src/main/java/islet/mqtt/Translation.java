package islet.mqtt;

import islet.contract.Message;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;

/** Between Islet's messages and the client library's. */
final class Translation {

  private static final byte[] NOTHING = {};

  private Translation() {}

  static MqttMessage toPaho(Message message) {
    MqttProperties properties = new MqttProperties();
    if (message.expirySeconds() > 0) {
      properties.setMessageExpiryInterval((long) message.expirySeconds());
    }
    if (!message.responseTopic().isEmpty()) {
      properties.setResponseTopic(message.responseTopic());
    }
    if (message.correlation().length > 0) {
      properties.setCorrelationData(message.correlation());
    }
    return new MqttMessage(message.payload(), message.qos(), message.retain(), properties);
  }

  static Message fromPaho(String topic, MqttMessage message) {
    MqttProperties properties = message.getProperties();
    if (properties == null) {
      return Message.of(topic, message.getPayload(), message.getQos(), message.isRetained());
    }
    Long expiry = properties.getMessageExpiryInterval();
    String responseTopic = properties.getResponseTopic();
    byte[] correlation = properties.getCorrelationData();
    return new Message(
        topic,
        message.getPayload(),
        message.getQos(),
        message.isRetained(),
        expiry == null ? 0 : (int) Math.min(Integer.MAX_VALUE, expiry),
        responseTopic == null ? "" : responseTopic,
        correlation == null ? NOTHING : correlation);
  }
}
