package islet.bench;

import islet.contract.Message;
import islet.contract.Port;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;

/** Keeps what a client is told, for looking at from another thread. */
public final class Inbox implements Port.Listener {

  private final List<Message> messages = new CopyOnWriteArrayList<>();
  private final List<Boolean> links = new CopyOnWriteArrayList<>();

  @Override
  public void message(Message message) {
    messages.add(message);
  }

  @Override
  public void link(boolean up) {
    links.add(up);
  }

  /** All messages so far, in order of arrival. */
  public List<Message> messages() {
    return List.copyOf(messages);
  }

  /** Their payloads. */
  public List<String> texts() {
    return messages.stream().map(Message::text).toList();
  }

  /** All news of the link so far. */
  public List<Boolean> links() {
    return List.copyOf(links);
  }
}
