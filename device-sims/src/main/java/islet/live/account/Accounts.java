package islet.live.account;

import islet.site.YamlText;
import java.nio.charset.StandardCharsets;
import java.security.SecureRandom;
import java.util.Base64;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;

/** Who may connect. Immutable. */
public final class Accounts {

  private static final int SECRET_BYTES = 32;

  /** Nobody's, so that a guess at a user's name takes as long as one at a password. */
  private static final PasswordHash DECOY =
      PasswordHash.of(secret().getBytes(StandardCharsets.UTF_8), PasswordHash.USUAL_ITERATIONS);

  private final Map<String, Account> byUser;

  private Accounts(Map<String, Account> byUser) {
    this.byUser = byUser;
  }

  /** Accounts; of two with one name the later counts. */
  public static Accounts of(Collection<Account> accounts) {
    Map<String, Account> byUser = new LinkedHashMap<>();
    accounts.forEach(account -> byUser.put(account.user(), account));
    return new Accounts(byUser);
  }

  /** The same with one more, which takes the place of one of the same name. */
  public Accounts with(Account account) {
    Map<String, Account> more = new LinkedHashMap<>(byUser);
    more.put(account.user(), account);
    return new Accounts(more);
  }

  /** A secret that nobody can guess: 256 random bits as text. */
  public static String secret() {
    byte[] bytes = new byte[SECRET_BYTES];
    new SecureRandom().nextBytes(bytes);
    return Base64.getUrlEncoder().withoutPadding().encodeToString(bytes);
  }

  /** The hash of such a secret, which needs no time to be safe. */
  public static PasswordHash hashOfSecret(String secret) {
    return PasswordHash.of(secret.getBytes(StandardCharsets.UTF_8), PasswordHash.FEWEST_ITERATIONS);
  }

  /** The account of this name. */
  Optional<Account> named(String user) {
    return Optional.ofNullable(byUser.get(user));
  }

  /** The account that this name and password open. */
  Optional<Account> opened(String user, byte[] password) {
    Optional<Account> account = named(user);
    boolean right = account.map(Account::password).orElse(DECOY).matches(password);
    return right ? account : Optional.empty();
  }

  /** The accounts as the text of a file that {@link AccountsFile} reads. */
  String text() {
    StringBuilder text =
        new StringBuilder("# Who may connect to the broker. Made by the account command.\n");
    text.append("accounts:\n");
    for (Account account : byUser.values()) {
      text.append("  - user: ").append(YamlText.scalar(account.user())).append('\n');
      text.append("    roles: [")
          .append(
              account.roles().stream().sorted().map(Role::word).collect(Collectors.joining(", ")))
          .append("]\n");
      if (!account.site().isEmpty()) {
        text.append("    site: ").append(YamlText.scalar(account.site())).append('\n');
      }
      text.append("    password: \"").append(account.password()).append("\"\n");
    }
    return text.toString();
  }
}
