package islet.app;

import islet.mqtt.Access;
import islet.mqtt.AccessException;
import islet.mqtt.PahoBroker;
import islet.mqtt.Secrets;
import java.nio.file.Path;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/**
 * Who a command says it is at a broker, and whom it believes. An address beyond this machine is
 * only taken with TLS and a user, since whoever can write on the wire can give orders.
 */
public final class BrokerOptions {

  @Option(
      names = "--user",
      paramLabel = "NAME",
      description = "the account at the broker; needs --password-file")
  private String user = "";

  @Option(
      names = "--password-file",
      paramLabel = "FILE",
      description =
          "a file with the account's password in its first line, which not everybody may read")
  private Path passwordFile = Path.of("");

  @Option(
      names = "--ca",
      paramLabel = "FILE",
      description =
          "certificates (PEM) of the authorities that are believed about an ssl:// or wss:// broker"
              + " (default: those of this Java)")
  private Path authorities = Path.of("");

  @Option(
      names = "--cert",
      paramLabel = "FILE",
      description = "a certificate (PEM) to show to an ssl:// or wss:// broker; needs --key")
  private Path certificate = Path.of("");

  @Option(
      names = "--key",
      paramLabel = "FILE",
      description = "the private key (PEM) of --cert, which not everybody may read")
  private Path key = Path.of("");

  @Option(
      names = "--wire-protected-otherwise",
      description =
          "takes a broker beyond this machine without TLS or without a user: you say that the wire"
              + " is protected in another way, for example by a tunnel or a network of its own")
  private boolean protectedOtherwise;

  @Spec(Spec.Target.MIXEE)
  private CommandSpec spec = CommandSpec.create();

  /**
   * What the options say, checked against the address.
   *
   * @param broker the address of a broker
   * @throws ParameterException with a sentence when the address is none, when a file cannot be used
   *     or when the wire would be open to strangers
   */
  public Access access(String broker) {
    if (!PahoBroker.isAddress(broker)) {
      throw refused(
          "--broker",
          "\"" + broker + "\"",
          "the address of a broker, for example tcp://127.0.0.1:1883 or ssl://broker.example:8883");
    }
    insistOnPairs();
    insistOnTls(broker);
    insistOnProtection(broker);
    try {
      Access access = Access.NONE;
      if (isGiven(authorities)) {
        access = access.trusting(authorities);
      }
      if (isGiven(certificate)) {
        access = access.presenting(certificate, key);
      }
      return user.isEmpty() ? access : access.as(user, Secrets.password(passwordFile));
    } catch (AccessException e) {
      throw new ParameterException(spec.commandLine(), String.valueOf(e.getMessage()), e);
    }
  }

  /**
   * Refuses the options of this group where there is no broker for them.
   *
   * @throws ParameterException with a sentence when one of them is given
   */
  public void insistOnNone() {
    if (!user.isEmpty()
        || isGiven(passwordFile)
        || isGiven(authorities)
        || isGiven(certificate)
        || isGiven(key)
        || protectedOtherwise) {
      throw refused(
          "--user, --password-file, --ca, --cert, --key, --wire-protected-otherwise",
          "one of these without --broker",
          "them beside --broker only");
    }
  }

  private void insistOnPairs() {
    if (user.isEmpty() == isGiven(passwordFile)) {
      throw refused("--user, --password-file", "one of the two", "both or none");
    }
    if (isGiven(certificate) != isGiven(key)) {
      throw refused("--cert, --key", "one of the two", "both or none");
    }
  }

  private void insistOnTls(String broker) {
    if (!PahoBroker.isEncrypted(broker) && (isGiven(authorities) || isGiven(certificate))) {
      throw refused(
          "--ca, --cert, --key",
          "\"" + broker + "\" beside them, which knows no certificates",
          "an ssl:// or wss:// address");
    }
  }

  private void insistOnProtection(String broker) {
    if (protectedOtherwise || !PahoBroker.leavesMachine(broker)) {
      return;
    }
    boolean encrypted = PahoBroker.isEncrypted(broker);
    if (!encrypted || user.isEmpty()) {
      throw refused(
          "--broker",
          "\""
              + broker
              + "\", which is beyond this machine, "
              + (encrypted ? "without a user" : "without TLS"),
          "such a broker by ssl:// or wss:// and with --user and --password-file, since whoever can"
              + " write on the wire can give orders. If it is protected in another way, say so with"
              + " --wire-protected-otherwise");
    }
  }

  private static boolean isGiven(Path path) {
    return !path.toString().isEmpty();
  }

  private ParameterException refused(String option, String found, String allowed) {
    return new ParameterException(
        spec.commandLine(), option + ": found " + found + "; allowed is " + allowed + ".");
  }
}
