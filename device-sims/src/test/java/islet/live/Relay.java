package islet.live;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.ConnectException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.IntConsumer;

/**
 * A cable that can be cut or stalled: passes bytes between clients and a broker. A stalled
 * direction passes nothing and loses nothing, as TCP does while packets are lost on the way.
 */
final class Relay implements AutoCloseable {

  private final String scheme;
  private final int brokerPort;
  private final ServerSocket door;
  private final List<Socket> sockets = new ArrayList<>();
  private boolean cut;
  private boolean stalledUp;
  private boolean stalledDown;
  private volatile boolean muted;
  private final AtomicInteger duplicates = new AtomicInteger();

  Relay(int brokerPort) throws IOException {
    this(brokerPort, "tcp");
  }

  /** Passes bytes to a broker that speaks MQTT by {@code tcp} or {@code ws}. */
  Relay(int brokerPort, String scheme) throws IOException {
    this.scheme = scheme;
    this.brokerPort = brokerPort;
    door = new ServerSocket(0, 16, InetAddress.getLoopbackAddress());
    start(this::serve);
  }

  String url() {
    return scheme + "://127.0.0.1:" + door.getLocalPort();
  }

  synchronized void cut() {
    cut = true;
    closeAll();
  }

  /** Swallows what the client sends from now on; what the broker sends still arrives. */
  void mute() {
    muted = true;
  }

  synchronized void restore() {
    cut = false;
    muted = false;
    stalledUp = false;
    stalledDown = false;
    notifyAll();
  }

  /** From now on nothing gets to the broker, or nothing from it, or both; no end notices. */
  synchronized void stall(boolean up, boolean down) {
    stalledUp = up;
    stalledDown = down;
  }

  /** Breaks what connections there are; new ones are let in. */
  synchronized void breakAll() {
    closeAll();
  }

  private synchronized void awaitWay(boolean up, Socket to) throws InterruptedException {
    while ((up ? stalledUp : stalledDown) && !to.isClosed()) {
      wait(100);
    }
  }

  private void serve() {
    try {
      while (!door.isClosed()) {
        admit(door.accept());
      }
    } catch (IOException e) {
      // The door has been closed: the test is over.
      closeQuietly(door);
    }
  }

  private synchronized void admit(Socket client) throws IOException {
    if (cut) {
      client.close();
      return;
    }
    Socket broker;
    try {
      broker = new Socket(InetAddress.getLoopbackAddress(), brokerPort);
    } catch (ConnectException e) {
      client.close(); // as a broker that is not there would
      return;
    }
    client.setTcpNoDelay(true);
    broker.setTcpNoDelay(true);
    sockets.add(client);
    sockets.add(broker);
    start(() -> pump(client, broker, true));
    start(() -> pump(broker, client, false));
  }

  /** PUBLISH packets from the broker, over all connections, that were marked as duplicates. */
  int duplicates() {
    return duplicates.get();
  }

  /** Listens to what the broker sends on one connection. */
  private IntConsumer ear() {
    DuplicateEar ear = new DuplicateEar(duplicates);
    return scheme.equals("ws") ? new FrameEar(ear)::hear : ear::hear;
  }

  private void pump(Socket from, Socket to, boolean up) {
    IntConsumer ear = ear();
    try {
      InputStream in = from.getInputStream();
      OutputStream out = to.getOutputStream();
      byte[] buffer = new byte[4096];
      for (int read = in.read(buffer); read >= 0; read = in.read(buffer)) {
        awaitWay(up, to);
        if (!up) {
          for (int i = 0; i < read; i++) {
            ear.accept(buffer[i] & 0xFF);
          }
        }
        if (!(up && muted)) {
          out.write(buffer, 0, read);
        }
      }
      awaitWay(up, to); // the news that an end has gone is stalled as well
    } catch (IOException e) {
      // An end that has gone takes the other with it, below.
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } finally {
      closeQuietly(from);
      closeQuietly(to);
    }
  }

  private void closeAll() {
    sockets.forEach(Relay::closeQuietly);
    sockets.clear();
  }

  private static void closeQuietly(AutoCloseable what) {
    try {
      what.close();
    } catch (Exception e) {
      throw new IllegalStateException("A loopback socket could not be closed.", e);
    }
  }

  private static void start(Runnable work) {
    Thread thread = new Thread(work, "relay");
    thread.setDaemon(true);
    thread.start();
  }

  @Override
  public synchronized void close() {
    closeQuietly(door);
    closeAll();
  }
}
