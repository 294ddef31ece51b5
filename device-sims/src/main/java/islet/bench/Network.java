package islet.bench;

/** What faults can do to the network of a run, by the client ids at the broker. */
public interface Network {

  /** A real one, whose links nothing in this process touches; a scenario's reader refuses to. */
  Network REAL =
      new Network() {
        @Override
        public void cut(String clientId, boolean cut) {
          throw beyond();
        }

        @Override
        public void disturb(String clientId, Disturbance what) {
          throw beyond();
        }

        @Override
        public void restart(long downMicros, boolean forgetful) {
          throw beyond();
        }

        @Override
        public boolean kill(String clientId) {
          return false;
        }

        private IllegalStateException beyond() {
          return new IllegalStateException(
              "links are real here; nothing in this process cuts or disturbs them");
        }
      };

  /** Cuts or mends a client's link. */
  void cut(String clientId, boolean cut);

  /** Puts a disturbance on a client's link in place of the one before. */
  void disturb(String clientId, Disturbance what);

  /**
   * Lets the broker go down and come up again.
   *
   * @param downMicros how long it is away, µs
   * @param forgetful whether its sessions and retained messages are lost
   */
  void restart(long downMicros, boolean forgetful);

  /**
   * The process behind a client has died.
   *
   * @return whether its will has been published; a real client can only leave
   */
  boolean kill(String clientId);
}
