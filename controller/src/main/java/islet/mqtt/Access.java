package islet.mqtt;

import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.util.Optional;
import javax.net.ssl.KeyManagerFactory;
import javax.net.ssl.SSLContext;
import javax.net.ssl.TrustManagerFactory;

/**
 * Who a client says it is, and whom it believes. Without anything it says nothing of itself, and
 * over TLS it believes whom this Java believes.
 */
public final class Access {

  /** Nothing said of oneself. */
  public static final Access NONE =
      new Access("", new byte[0], Optional.empty(), Optional.empty(), new char[0]);

  private final String user;
  private final byte[] password;
  private final Optional<KeyStore> trusted;
  private final Optional<KeyStore> own;
  private final char[] ownPassword;

  private Access(
      String user,
      byte[] password,
      Optional<KeyStore> trusted,
      Optional<KeyStore> own,
      char[] ownPassword) {
    this.user = user;
    this.password = password;
    this.trusted = trusted;
    this.own = own;
    this.ownPassword = ownPassword;
  }

  /** The same as a user of the broker. */
  public Access as(String name, byte[] secret) {
    return new Access(name, secret.clone(), trusted, own, ownPassword);
  }

  /**
   * The same, believing a broker only whose certificate comes from one of these authorities.
   *
   * @throws AccessException with a sentence when the file holds no certificate
   */
  public Access trusting(Path authorities) throws AccessException {
    return new Access(user, password, Optional.of(Pem.trusted(authorities)), own, ownPassword);
  }

  /**
   * The same, with a certificate of its own to show.
   *
   * @throws AccessException with a sentence when one of the two is none
   */
  public Access presenting(Path certificate, Path key) throws AccessException {
    // Never leaves this process: it only satisfies the store's interface.
    char[] inMemory = "in memory".toCharArray();
    return new Access(
        user, password, trusted, Optional.of(Pem.owned(certificate, key, inMemory)), inMemory);
  }

  /** The user's name; empty for none. */
  public String user() {
    return user;
  }

  byte[] password() {
    return password.clone();
  }

  /** What TLS needs to know. */
  SSLContext tls() {
    try {
      SSLContext context = SSLContext.getInstance("TLSv1.3");
      KeyManagerFactory keys = KeyManagerFactory.getInstance("PKIX");
      keys.init(own.orElse(null), ownPassword);
      TrustManagerFactory trust = TrustManagerFactory.getInstance("PKIX");
      trust.init(trusted.orElse(null));
      context.init(own.isPresent() ? keys.getKeyManagers() : null, trust.getTrustManagers(), null);
      return context;
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException("This Java cannot speak TLS 1.3.", e);
    }
  }

  @Override
  public String toString() {
    return user.isEmpty() ? "nobody" : user;
  }
}
