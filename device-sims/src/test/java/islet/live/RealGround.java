package islet.live;

import static org.junit.jupiter.api.Assertions.fail;

import islet.bench.MqttGround;
import islet.contract.Message;
import islet.contract.Port;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.BooleanSupplier;

/** A real broker, each client behind a cable of its own, in wall time. */
final class RealGround implements MqttGround {

  private final String scheme;
  private final int brokerPort;
  private final PahoSettings settings;
  private final Map<String, Relay> relays = new HashMap<>();
  private final List<PahoBroker> clients = new ArrayList<>();

  RealGround(int brokerPort, int sessionExpirySeconds) {
    this("tcp", brokerPort, sessionExpirySeconds);
  }

  RealGround(String scheme, int brokerPort, int sessionExpirySeconds) {
    this.scheme = scheme;
    this.brokerPort = brokerPort;
    settings = new PahoSettings(5, 2, sessionExpirySeconds, 100, 200);
  }

  @Override
  public Port connect(String clientId, Message will, Port.Listener listener) {
    PahoBroker client = new PahoBroker(relay(clientId).url(), settings);
    clients.add(client);
    return client.connect(clientId, will, listener);
  }

  private Relay relay(String clientId) {
    return relays.computeIfAbsent(clientId, id -> newRelay());
  }

  private Relay newRelay() {
    try {
      return new Relay(brokerPort, scheme);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  @Override
  public void cut(String clientId) {
    relay(clientId).cut();
  }

  @Override
  public void mute(String clientId) {
    relay(clientId).mute();
  }

  @Override
  public int duplicates(String clientId) {
    return relay(clientId).duplicates();
  }

  @Override
  public void restore(String clientId) {
    relay(clientId).restore();
  }

  @Override
  public void await(String what, BooleanSupplier condition) {
    for (int tries = 0; tries < 3_000 && !condition.getAsBoolean(); tries++) {
      pass(0.01);
    }
    if (!condition.getAsBoolean()) {
      fail("Within 30 s there was no sign of " + what + ".");
    }
  }

  @Override
  public void pass(double seconds) {
    try {
      Thread.sleep(Math.round(seconds * 1_000));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      fail("The test was interrupted.", e);
    }
  }

  @Override
  public void settle() {
    pass(0.4);
  }

  @Override
  public void close() {
    clients.forEach(PahoBroker::close);
    relays.values().forEach(Relay::close);
  }
}
