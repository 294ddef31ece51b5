package islet.live.account;

import islet.site.InputException;
import islet.site.Section;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Pattern;
import java.util.stream.Collectors;

/** Reads and writes the file that accounts are kept in. */
public final class AccountsFile {

  private static final Pattern SITE = Pattern.compile("[a-z0-9]+(-[a-z0-9]+)*");

  private static final String ROLES =
      Arrays.stream(Role.values()).map(Role::word).collect(Collectors.joining(", "));

  private static final String MADE = "The account command makes it.";

  private AccountsFile() {}

  /**
   * Reads a file.
   *
   * @throws InputException with everything that is wrong in it
   */
  public static Accounts read(Path file) {
    return Section.read(file, List.of(), AccountsFile::accounts);
  }

  private static Accounts accounts(Section file) {
    Set<String> seen = new HashSet<>();
    return Accounts.of(file.sections("accounts", "At least one account.", s -> account(s, seen)));
  }

  private static Account account(Section s, Set<String> seen) {
    String user =
        s.text("user", Account.USER, "1 to 64 letters, digits, dots, hyphens, underscores", "");
    if (!user.isEmpty() && !seen.add(user)) {
      s.wrong("user", "each user once", "Remove one of the two.");
    }
    Set<Role> roles = EnumSet.noneOf(Role.class);
    for (String word : s.texts("roles", "one or more of " + ROLES, "")) {
      Optional<Role> role = role(word);
      if (role.isEmpty()) {
        s.wrong("roles", "\"" + word + "\" in the list", "one or more of " + ROLES, "");
      }
      role.ifPresent(roles::add);
    }
    if (roles.isEmpty()) {
      s.wrong("roles", "one or more of " + ROLES, "");
    }
    String site = s.has("site") ? s.text("site", SITE, "the id of a site", "") : "";
    String text = s.text("password", "the hash of a password", MADE);
    Optional<PasswordHash> password = PasswordHash.parse(text);
    if (password.isEmpty()) {
      s.wrong("password", "pbkdf2-sha512:ITERATIONS:SALT:HASH", MADE);
    }
    return new Account(user, roles, site, password.orElseGet(() -> Accounts.hashOfSecret("")));
  }

  /** The role of this name. */
  public static Optional<Role> role(String word) {
    return Arrays.stream(Role.values()).filter(role -> role.word().equals(word)).findFirst();
  }

  /** The names of all roles, with commas between. */
  public static String roles() {
    return ROLES;
  }

  /** Whether a text can be a user's name. */
  public static boolean isUser(String text) {
    return Account.USER.matcher(text).matches();
  }

  /** Writes a file that only its owner may read. */
  public static void write(Path file, Accounts accounts) throws IOException {
    writeSecret(file, accounts.text());
  }

  /** Writes a text that only the file's owner may read, in one go. */
  public static void writeSecret(Path file, String text) throws IOException {
    Path folder = file.toAbsolutePath().getParent();
    Path draft = Files.createTempFile(folder == null ? Path.of(".") : folder, ".islet-", ".new");
    try {
      if (file.getFileSystem().supportedFileAttributeViews().contains("posix")) {
        Files.setPosixFilePermissions(draft, PosixFilePermissions.fromString("rw-------"));
      }
      Files.writeString(draft, text);
      Files.move(draft, file, StandardCopyOption.REPLACE_EXISTING, StandardCopyOption.ATOMIC_MOVE);
    } finally {
      Files.deleteIfExists(draft);
    }
  }
}
