package islet.live.account;

import com.hivemq.embedded.EmbeddedExtension;
import com.hivemq.extension.sdk.api.ExtensionMain;
import com.hivemq.extension.sdk.api.auth.PublishAuthorizer;
import com.hivemq.extension.sdk.api.auth.SimpleAuthenticator;
import com.hivemq.extension.sdk.api.auth.SubscriptionAuthorizer;
import com.hivemq.extension.sdk.api.auth.parameter.PublishAuthorizerInput;
import com.hivemq.extension.sdk.api.auth.parameter.PublishAuthorizerOutput;
import com.hivemq.extension.sdk.api.auth.parameter.SimpleAuthInput;
import com.hivemq.extension.sdk.api.auth.parameter.SimpleAuthOutput;
import com.hivemq.extension.sdk.api.auth.parameter.SubscriptionAuthorizerInput;
import com.hivemq.extension.sdk.api.auth.parameter.SubscriptionAuthorizerOutput;
import com.hivemq.extension.sdk.api.client.parameter.ConnectionInformation;
import com.hivemq.extension.sdk.api.client.parameter.Listener;
import com.hivemq.extension.sdk.api.client.parameter.ListenerType;
import com.hivemq.extension.sdk.api.interceptor.publish.parameter.PublishInboundInput;
import com.hivemq.extension.sdk.api.interceptor.publish.parameter.PublishInboundOutput;
import com.hivemq.extension.sdk.api.packets.connect.ConnackReasonCode;
import com.hivemq.extension.sdk.api.packets.connect.ConnectPacket;
import com.hivemq.extension.sdk.api.packets.publish.AckReasonCode;
import com.hivemq.extension.sdk.api.packets.publish.PublishPacket;
import com.hivemq.extension.sdk.api.parameter.ExtensionStartInput;
import com.hivemq.extension.sdk.api.parameter.ExtensionStartOutput;
import com.hivemq.extension.sdk.api.parameter.ExtensionStopInput;
import com.hivemq.extension.sdk.api.parameter.ExtensionStopOutput;
import com.hivemq.extension.sdk.api.services.Services;
import java.nio.ByteBuffer;
import java.util.Optional;
import java.util.concurrent.atomic.LongAdder;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Stands at the embedded broker's door: lets in who has an account, lets through what the account's
 * roles may write and read, and keeps out what is too large. Whatever it turns away it counts.
 */
public final class Gatekeeper implements ExtensionMain {

  private static final Logger LOG = LoggerFactory.getLogger(Gatekeeper.class);

  private static final String USER = "islet.user";

  private final Optional<Accounts> accounts;
  private final Optional<Accounts> browsers;
  private final int payloadLimit;
  private volatile boolean tried;
  private final LongAdder strangers = new LongAdder();
  private final LongAdder forbidden = new LongAdder();
  private final LongAdder oversized = new LongAdder();

  /**
   * What has been turned away since the start.
   *
   * @param strangers clients without the right name and password, or under another one's client id
   * @param forbidden messages and subscriptions that an account may not write or read
   * @param oversized messages with a payload above the limit
   */
  public record Counts(long strangers, long forbidden, long oversized) {}

  /**
   * Takes up its post.
   *
   * @param accounts who may connect; empty for everybody
   * @param payloadLimit the largest payload that is passed on, bytes
   */
  public Gatekeeper(Optional<Accounts> accounts, int payloadLimit) {
    this(accounts, Optional.empty(), payloadLimit);
  }

  /**
   * Takes up its post.
   *
   * @param accounts who may connect; empty for everybody
   * @param browsers who may connect by WebSocket, in place of {@code accounts}; empty for the same
   * @param payloadLimit the largest payload that is passed on, bytes
   */
  public Gatekeeper(Optional<Accounts> accounts, Optional<Accounts> browsers, int payloadLimit) {
    this.accounts = accounts;
    this.browsers = browsers;
    this.payloadLimit = payloadLimit;
  }

  /** Who may connect where this connection was made; empty for everybody. */
  private Optional<Accounts> at(ConnectionInformation connection) {
    boolean browser =
        connection
            .getListener()
            .map(Listener::getListenerType)
            .filter(
                type ->
                    type == ListenerType.WEBSOCKET_LISTENER
                        || type == ListenerType.TLS_WEBSOCKET_LISTENER)
            .isPresent();
    return browser && browsers.isPresent() ? browsers : accounts;
  }

  /**
   * Says whether its own broker tries it by sending a stranger, who is turned away as any other but
   * told to nobody.
   */
  public void beingTried(boolean now) {
    tried = now;
  }

  /** The form in which the broker takes it. */
  public EmbeddedExtension extension() {
    return EmbeddedExtension.builder()
        .withId("islet-gatekeeper")
        .withName("Islet's gatekeeper")
        .withVersion("1")
        .withAuthor("Islet")
        .withPriority(1)
        .withStartPriority(1_000)
        .withExtensionMain(this)
        .build();
  }

  /** What has been turned away. From any thread. */
  public Counts counts() {
    return new Counts(strangers.sum(), forbidden.sum(), oversized.sum());
  }

  @Override
  public void extensionStart(ExtensionStartInput input, ExtensionStartOutput output) {
    if (accounts.isPresent() || browsers.isPresent()) {
      demand();
    }
    Services.initializerRegistry()
        .setClientInitializer((in, client) -> client.addPublishInboundInterceptor(this::judge));
  }

  @Override
  public void extensionStop(ExtensionStopInput input, ExtensionStopOutput output) {
    // Nothing is held.
  }

  private void demand() {
    SimpleAuthenticator authenticator = this::admit;
    Authorizer authorizer = new Authorizer(this::allow, this::allow);
    Services.securityRegistry().setAuthenticatorProvider(in -> authenticator);
    Services.securityRegistry().setAuthorizerProvider(in -> authorizer);
  }

  /** The broker asks one object for both. */
  private record Authorizer(PublishAuthorizer publishing, SubscriptionAuthorizer subscribing)
      implements PublishAuthorizer, SubscriptionAuthorizer {

    @Override
    public void authorizePublish(PublishAuthorizerInput in, PublishAuthorizerOutput out) {
      publishing.authorizePublish(in, out);
    }

    @Override
    public void authorizeSubscribe(
        SubscriptionAuthorizerInput in, SubscriptionAuthorizerOutput out) {
      subscribing.authorizeSubscribe(in, out);
    }
  }

  private void admit(SimpleAuthInput in, SimpleAuthOutput out) {
    Optional<Accounts> known = at(in.getConnectionInformation());
    if (known.isEmpty()) {
      out.authenticateSuccessfully();
    } else {
      admit(known.get(), in, out);
    }
  }

  private void admit(Accounts known, SimpleAuthInput in, SimpleAuthOutput out) {
    ConnectPacket connect = in.getConnectPacket();
    String user = connect.getUserName().orElse("");
    Optional<Account> account =
        connect.getPassword().flatMap(password -> known.opened(user, bytes(password)));
    if (account.isEmpty() && tried) {
      out.failAuthentication(ConnackReasonCode.BAD_USER_NAME_OR_PASSWORD);
    } else if (account.isEmpty()) {
      strangers.increment();
      LOG.warn(
          "The broker refused \"{}\" as user \"{}\".", shown(connect.getClientId()), shown(user));
      out.failAuthentication(ConnackReasonCode.BAD_USER_NAME_OR_PASSWORD);
    } else if (!account.get().mayBeCalled(connect.getClientId())) {
      strangers.increment();
      LOG.warn(
          "The broker refused user \"{}\" the client id \"{}\", which is another one's.",
          shown(user),
          shown(connect.getClientId()));
      out.failAuthentication(ConnackReasonCode.NOT_AUTHORIZED);
    } else if (connect
        .getWillPublish()
        .filter(will -> !mayLeave(account.get(), will))
        .isPresent()) {
      forbidden.increment();
      LOG.warn("The broker refused user \"{}\" a last will that it may not write.", shown(user));
      out.failAuthentication(ConnackReasonCode.NOT_AUTHORIZED);
    } else {
      in.getConnectionInformation().getConnectionAttributeStore().putAsString(USER, user);
      out.authenticateSuccessfully();
    }
  }

  private boolean mayLeave(Account account, PublishPacket will) {
    return account.mayWrite(will.getTopic()) && size(will) <= payloadLimit;
  }

  private static int size(PublishPacket message) {
    return message.getPayload().map(ByteBuffer::remaining).orElse(0);
  }

  /** What a stranger has written, so that it cannot pass for a line of the log. */
  private static String shown(String text) {
    return text.replaceAll("\\p{Cntrl}", "?");
  }

  /** A second line: {@link #judge} has dropped before what may not pass. */
  private void allow(PublishAuthorizerInput in, PublishAuthorizerOutput out) {
    String topic = in.getPublishPacket().getTopic();
    if (mayWrite(in.getConnectionInformation(), topic)) {
      out.authorizeSuccessfully();
    } else {
      forbidden.increment();
      out.failAuthorization();
    }
  }

  private void allow(SubscriptionAuthorizerInput in, SubscriptionAuthorizerOutput out) {
    String filter = in.getSubscription().getTopicFilter();
    ConnectionInformation connection = in.getConnectionInformation();
    Optional<Accounts> known = at(connection);
    if (known.isEmpty()
        || account(known.get(), connection).filter(a -> a.mayRead(filter)).isPresent()) {
      out.authorizeSuccessfully();
    } else {
      forbidden.increment();
      LOG.warn(
          "The broker kept {} from reading {}.",
          shown(in.getClientInformation().getClientId()),
          shown(filter));
      out.failAuthorization();
    }
  }

  private boolean mayWrite(ConnectionInformation connection, String topic) {
    Optional<Accounts> known = at(connection);
    return known.isEmpty()
        || account(known.get(), connection).filter(a -> a.mayWrite(topic)).isPresent();
  }

  private static Optional<Account> account(Accounts known, ConnectionInformation connection) {
    return connection.getConnectionAttributeStore().getAsString(USER).flatMap(known::named);
  }

  /**
   * Drops what is too large or not the sender's to write, and says so in the acknowledgement. The
   * broker's own authorizer for publishing would end the connection, and a client with a wrong
   * account would come back and be thrown out for ever.
   */
  private void judge(PublishInboundInput in, PublishInboundOutput out) {
    PublishPacket message = in.getPublishPacket();
    String topic = message.getTopic();
    if (!mayWrite(in.getConnectionInformation(), topic)) {
      forbidden.increment();
      out.preventPublishDelivery(AckReasonCode.NOT_AUTHORIZED);
    } else if (size(message) > payloadLimit) {
      oversized.increment();
      out.preventPublishDelivery(AckReasonCode.QUOTA_EXCEEDED);
    }
  }

  private static byte[] bytes(ByteBuffer buffer) {
    byte[] bytes = new byte[buffer.remaining()];
    buffer.duplicate().get(bytes);
    return bytes;
  }
}
