package islet.bench;

/** The network around a virtual broker. */
public final class VirtualNetwork implements Network {

  private final VirtualBroker broker;

  /** The links of this broker. */
  public VirtualNetwork(VirtualBroker broker) {
    this.broker = broker;
  }

  @Override
  public void cut(String clientId, boolean cut) {
    if (cut) {
      broker.link(clientId).cut();
    } else {
      broker.link(clientId).restore();
    }
  }

  @Override
  public void disturb(String clientId, Disturbance what) {
    Link unused = broker.link(clientId).disturb(what);
  }

  @Override
  public void restart(long downMicros, boolean forgetful) {
    broker.restart(downMicros, forgetful);
  }

  @Override
  public boolean kill(String clientId) {
    broker.kill(clientId);
    return true;
  }
}
