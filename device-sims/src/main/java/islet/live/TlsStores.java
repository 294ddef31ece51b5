package islet.live;

import islet.live.account.Accounts;
import islet.mqtt.AccessException;
import islet.mqtt.Pem;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.util.Optional;

/** Certificates and keys in the form in which the embedded broker's library reads them. */
final class TlsStores {

  private final String password = Accounts.secret();
  private final Path own;
  private final Optional<Path> trusted;

  /**
   * Writes the stores.
   *
   * @param folder where, for this user's eyes only
   */
  TlsStores(TlsListener listener, Path folder) throws AccessException, IOException {
    own = folder.resolve("own-" + listener.port() + ".p12");
    write(Pem.owned(listener.certificate(), listener.key(), password.toCharArray()), own);
    if (listener.clientAuthorities().isPresent()) {
      Path file = folder.resolve("clients-" + listener.port() + ".p12");
      write(Pem.trusted(listener.clientAuthorities().get()), file);
      trusted = Optional.of(file);
    } else {
      trusted = Optional.empty();
    }
  }

  private void write(KeyStore store, Path file) throws IOException {
    try (OutputStream out = Files.newOutputStream(file)) {
      store.store(out, password.toCharArray());
    } catch (GeneralSecurityException e) {
      throw new IOException("A key store could not be written.", e);
    }
  }

  /** The element of the broker's own configuration. */
  String element() {
    String clients =
        trusted
            .map(
                file ->
                    """
                    <truststore><path>%s</path><password>%s</password></truststore>
                    <client-authentication-mode>REQUIRED</client-authentication-mode>
                    """
                        .formatted(file, password))
            .orElse("");
    return """
        <tls>
          <protocols><protocol>TLSv1.3</protocol></protocols>
          <keystore>
            <path>%s</path>
            <password>%s</password>
            <private-key-password>%s</private-key-password>
          </keystore>
          %s
        </tls>
        """
        .formatted(own, password, password, clients);
  }
}
