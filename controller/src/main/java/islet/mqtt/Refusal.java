package islet.mqtt;

import java.util.Optional;
import javax.net.ssl.SSLException;
import org.eclipse.paho.mqttv5.common.MqttException;

/** Why a broker that answers does not take a client in. */
enum Refusal {
  /** Reason codes 0x86 and 0x87: OASIS MQTT Version 5.0, 3.2.2.2, from memory. */
  USER,
  /** TLS came to no agreement. */
  CERTIFICATE;

  private static final int BAD_USER_NAME_OR_PASSWORD = 0x86;
  private static final int NOT_AUTHORIZED = 0x87;

  /** What a failed connection was refused for; empty when it was not refused. */
  static Optional<Refusal> of(MqttException e) {
    if (e.getReasonCode() == BAD_USER_NAME_OR_PASSWORD || e.getReasonCode() == NOT_AUTHORIZED) {
      return Optional.of(USER);
    }
    for (Throwable cause = e; cause != null; cause = cause.getCause()) {
      if (cause instanceof SSLException) {
        return Optional.of(CERTIFICATE);
      }
    }
    return Optional.empty();
  }

  /** The rest of a sentence that begins with the broker. */
  String sentence(Access access) {
    return switch (this) {
      case USER ->
          access.user().isEmpty()
              ? "takes nobody in without a user and a password. Name them with --user and"
                  + " --password-file."
              : "refuses the user \""
                  + access.user()
                  + "\" or its password. Look at --user, --password-file and the broker's"
                  + " accounts.";
      case CERTIFICATE ->
          "and this machine came to no agreement on TLS 1.3: either its certificate does not name"
              + " this host or comes from nobody who is believed (--ca), or it wants a certificate"
              + " that it believes (--cert, --key).";
    };
  }
}
