package islet.live.account;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.site.InputException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Accounts, their passwords and their file. */
class AccountsTest {

  @TempDir private Path folder = Path.of("");

  private static byte[] bytes(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }

  /** Judged by Python's hashlib.pbkdf2_hmac("sha512", ..., 1000, 32) with salt 0, 1, ... 15. */
  @Test
  void aHashIsPbkdf2AsOthersComputeIt() {
    PasswordHash hash =
        PasswordHash.parse(
                "pbkdf2-sha512:1000:AAECAwQFBgcICQoLDA0ODw==:g/LvHamT/fDnL+LW1vTiL0ZKfL/A+SrzWsIpS4GBlTA=")
            .orElseThrow();
    assertTrue(hash.matches(bytes("Z\u00fcrich harbour")));
    assertFalse(hash.matches(bytes("Zurich harbour")));
    assertFalse(hash.matches(bytes("")));
    // Again, now that it has been recognised.
    assertTrue(hash.matches(bytes("Z\u00fcrich harbour")));
    assertFalse(hash.matches(bytes("Z\u00fcrich")));
  }

  @Test
  void whatIsNoHashOrAHastyOneIsNotTaken() {
    String good = PasswordHash.of(bytes("x"), 1_000).toString();
    assertTrue(PasswordHash.parse(good).isPresent());
    assertEquals(Optional.empty(), PasswordHash.parse(good.replace(":1000:", ":999:")));
    assertEquals(Optional.empty(), PasswordHash.parse(good.replace(":1000:", ":99999999:")));
    assertEquals(Optional.empty(), PasswordHash.parse("swordfish"));
    assertEquals(Optional.empty(), PasswordHash.parse(good.substring(0, good.length() - 4)));
  }

  @Test
  void aFileIsReadAsItWasWrittenAndIsForItsOwnersEyesOnly() throws Exception {
    Path file = folder.resolve("accounts.yaml");
    Account operator =
        new Account(
            "dockmaster",
            Set.of(Role.OPERATOR, Role.VIEWER),
            "ferry-landing",
            PasswordHash.of(bytes("tide"), 1_000));
    Account viewer =
        new Account("class", Set.of(Role.VIEWER), "", PasswordHash.of(bytes("wind"), 1_000));
    AccountsFile.write(file, Accounts.of(List.of(operator, viewer)));
    assertEquals(2, Files.getPosixFilePermissions(file).size());
    Accounts read = AccountsFile.read(file);
    assertEquals(
        Set.of(Role.OPERATOR, Role.VIEWER),
        read.opened("dockmaster", bytes("tide")).orElseThrow().roles());
    assertEquals("ferry-landing", read.opened("dockmaster", bytes("tide")).orElseThrow().site());
    assertEquals(Set.of(Role.VIEWER), read.opened("class", bytes("wind")).orElseThrow().roles());
    assertEquals(Optional.empty(), read.opened("dockmaster", bytes("wind")));
    assertEquals(Optional.empty(), read.opened("nobody", bytes("tide")));
    assertFalse(Files.readString(file).contains("tide"));
  }

  @Test
  void whatIsWrongInAFileIsToldAllAtOnceWithItsLine() throws Exception {
    Path file = folder.resolve("accounts.yaml");
    Files.writeString(
        file,
        """
        accounts:
          - user: dock master
            roles: [captain]
            password: secret
          - user: class
            roles: viewer
            password: secret
        """);
    InputException e = assertThrows(InputException.class, () -> AccountsFile.read(file));
    List<String> told = e.problems().stream().map(p -> p.line() + " " + p.field()).toList();
    for (String line : List.of("2 ", "3 ", "4 ", "6 ", "7 ")) {
      assertTrue(told.stream().anyMatch(t -> t.startsWith(line)), line + told);
    }
    assertFalse(e.problems().toString().contains("null"));
  }

  @Test
  void aNameThatOthersLiveByIsNotEverybodysToUse() {
    Account viewer = new Account("v", Set.of(Role.VIEWER), "", PasswordHash.of(bytes("x"), 1_000));
    Account devices =
        new Account("d", Set.of(Role.DEVICES), "pier", PasswordHash.of(bytes("x"), 1_000));
    assertTrue(viewer.mayBeCalled("anything"));
    assertFalse(viewer.mayBeCalled("islet-v1-pier-tie-state"));
    assertTrue(devices.mayBeCalled("islet-v1-pier-tie-state"));
    assertFalse(devices.mayBeCalled("islet-v1-pier-supervisor-state"));
    assertFalse(devices.mayBeCalled("islet-v1-shed-tie-state"));
  }
}
