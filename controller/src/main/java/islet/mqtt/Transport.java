package islet.mqtt;

import java.util.Locale;

/** How MQTT travels to a broker. An address writes the name in lower case. */
enum Transport {
  /** Bare TCP. Port 1883 is registered for it: OASIS MQTT Version 5.0, 4.2, from memory. */
  TCP(1883, false, false),
  /** TLS over TCP. Port 8883 is registered for it: OASIS MQTT Version 5.0, 4.2, from memory. */
  SSL(8883, true, false),
  /** Over a WebSocket; port 80 when none is named: RFC 6455, section 3, from memory. */
  WS(80, false, true),
  /** Over a WebSocket in TLS; port 443 when none is named: RFC 6455, section 3, from memory. */
  WSS(443, true, true);

  private final int usualPort;
  private final boolean encrypted;
  private final boolean web;
  private final String scheme = name().toLowerCase(Locale.ROOT);

  Transport(int usualPort, boolean encrypted, boolean web) {
    this.usualPort = usualPort;
    this.encrypted = encrypted;
    this.web = web;
  }

  /** The port when an address names none. */
  int usualPort() {
    return usualPort;
  }

  /** Whether what crosses it can be neither read nor changed on the way. */
  boolean encrypted() {
    return encrypted;
  }

  /** Whether an address may end in a path. */
  boolean web() {
    return web;
  }

  /** The first word of an address. */
  String scheme() {
    return scheme;
  }
}
