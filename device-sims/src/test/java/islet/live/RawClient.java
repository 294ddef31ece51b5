package islet.live;

import java.io.BufferedOutputStream;
import java.io.ByteArrayOutputStream;
import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.Socket;
import java.nio.charset.StandardCharsets;

/**
 * An MQTT 5 client that knows no limit: it writes packets as OASIS MQTT Version 5.0, 3.1 and 3.3,
 * lay them out (from memory) and keeps to none of the port's rules.
 */
final class RawClient implements AutoCloseable {

  private static final int CONNECT = 0x10;
  private static final int PUBLISH = 0x30;
  private static final int RETURN_CODE = 3;

  private final Socket socket;
  private final OutputStream out;

  /** Connects; without a user when its name is empty. */
  RawClient(int port, String clientId, String user, String password) throws IOException {
    socket = new Socket(InetAddress.getLoopbackAddress(), port);
    socket.setSoTimeout(10_000);
    out = new BufferedOutputStream(socket.getOutputStream(), 1 << 16);
    ByteArrayOutputStream body = new ByteArrayOutputStream();
    DataOutputStream fields = new DataOutputStream(body);
    fields.writeUTF("MQTT");
    fields.write(5);
    fields.write(user.isEmpty() ? 0x02 : 0xC2); // clean start, and user and password
    fields.writeShort(0); // no keep-alive
    fields.write(0); // no properties
    fields.writeUTF(clientId);
    if (!user.isEmpty()) {
      fields.writeUTF(user);
      fields.writeUTF(password);
    }
    packet(CONNECT, body.toByteArray());
    out.flush();
    DataInputStream in = new DataInputStream(socket.getInputStream());
    byte[] answer = new byte[RETURN_CODE + 1];
    in.readFully(answer);
    if (answer[RETURN_CODE] != 0) {
      throw new IOException("refused with reason code " + (answer[RETURN_CODE] & 0xFF));
    }
    Thread reader = new Thread(() -> swallow(in), "raw-client");
    reader.setDaemon(true);
    reader.start();
  }

  /** A broker that cannot get rid of its answers would stop reading. */
  private static void swallow(DataInputStream in) {
    byte[] buffer = new byte[4096];
    try {
      int read = in.read(buffer);
      while (read >= 0) {
        read = in.read(buffer);
      }
    } catch (IOException e) {
      Thread.currentThread().interrupt(); // Over.
    }
  }

  /** Writes a message with QoS 0; it leaves with {@link #flush}. */
  void publish(String topic, byte[] payload) throws IOException {
    ByteArrayOutputStream body = new ByteArrayOutputStream(payload.length + 80);
    DataOutputStream fields = new DataOutputStream(body);
    fields.writeUTF(topic);
    fields.write(0); // no properties
    fields.write(payload);
    packet(PUBLISH, body.toByteArray());
  }

  void publish(String topic, String payload) throws IOException {
    publish(topic, payload.getBytes(StandardCharsets.UTF_8));
  }

  void flush() throws IOException {
    out.flush();
  }

  private void packet(int type, byte[] body) throws IOException {
    out.write(type);
    int left = body.length;
    do {
      int digit = left % 128;
      left /= 128;
      out.write(left > 0 ? digit | 0x80 : digit);
    } while (left > 0);
    out.write(body);
  }

  @Override
  public void close() throws IOException {
    socket.close();
  }
}
