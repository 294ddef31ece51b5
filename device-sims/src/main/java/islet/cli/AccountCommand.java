package islet.cli;

import islet.live.account.Account;
import islet.live.account.Accounts;
import islet.live.account.AccountsFile;
import islet.live.account.PasswordHash;
import islet.live.account.Role;
import islet.mqtt.AccessException;
import islet.mqtt.Secrets;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.regex.Pattern;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Makes an account in a file of accounts. */
@Command(
    name = "account",
    mixinStandardHelpOptions = true,
    description = {
      "Adds an account to a file for live --accounts, or gives one a new password.",
      "The file holds salted hashes only. The password stands in the first line of"
          + " --password-file; when there is no such file, a random one is made there."
    })
final class AccountCommand implements Callable<Integer> {

  private static final Pattern SITE = Pattern.compile("[a-z0-9]+(-[a-z0-9]+)*");

  @Parameters(
      arity = "1",
      paramLabel = "ACCOUNTS",
      description = "the file of accounts (YAML), made when it is not there")
  private Path file = Path.of("");

  @Option(names = "--user", required = true, paramLabel = "NAME", description = "whose account")
  private String user = "";

  @Option(
      names = "--role",
      required = true,
      split = ",",
      paramLabel = "ROLE",
      description =
          "what it may write, one or more with commas between: supervisor, devices, operator,"
              + " viewer, bench (docs/security.md)")
  private List<String> words = List.of();

  @Option(
      names = "--site",
      paramLabel = "ID",
      description = "the id of the only site that it sees (default: all sites)")
  private String site = "";

  @Option(
      names = "--password-file",
      required = true,
      paramLabel = "FILE",
      description = "the password, for the account's owner only")
  private Path passwordFile = Path.of("");

  @Spec private CommandSpec spec = CommandSpec.create();

  @Override
  public Integer call() throws IOException {
    if (!AccountsFile.isUser(user)) {
      throw refused("--user", user, "1 to 64 letters, digits, dots, hyphens and underscores");
    }
    if (!site.isEmpty() && !SITE.matcher(site).matches()) {
      throw refused("--site", site, "the id of a site, for example ferry-landing");
    }
    Set<Role> roles = EnumSet.noneOf(Role.class);
    for (String word : words) {
      roles.add(
          AccountsFile.role(word)
              .orElseThrow(() -> refused("--role", word, "one of " + AccountsFile.roles())));
    }
    Optional<Accounts> before =
        Files.exists(file) ? Optional.of(AccountsFile.read(file)) : Optional.empty();
    boolean made = !Files.exists(passwordFile);
    if (made) {
      AccountsFile.writeSecret(passwordFile, Accounts.secret() + "\n");
    }
    Account account =
        new Account(user, roles, site, PasswordHash.of(password(), PasswordHash.USUAL_ITERATIONS));
    AccountsFile.write(file, before.orElseGet(() -> Accounts.of(List.of())).with(account));
    spec.commandLine()
        .getOut()
        .println(
            user
                + " may connect now with the password in "
                + passwordFile
                + (made ? ", which was made" : "")
                + ". Brokers that run already read "
                + file
                + " when they start again.");
    return Main.PASSED;
  }

  private byte[] password() {
    try {
      return Secrets.password(passwordFile);
    } catch (AccessException e) {
      throw new ParameterException(spec.commandLine(), String.valueOf(e.getMessage()), e);
    }
  }

  private ParameterException refused(String option, String found, String allowed) {
    return new ParameterException(
        spec.commandLine(), option + ": found \"" + found + "\"; allowed is " + allowed + ".");
  }
}
