package islet;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;

import com.tngtech.archunit.lang.ArchRule;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.ZonedDateTime;
import java.util.Random;

/** The ways to ask the JVM for time or chance. */
final class Clocks {

  private Clocks() {}

  /** A rule that forbids them in packages. */
  static ArchRule forbidden(String... packages) {
    return noClasses()
        .that()
        .resideInAnyPackage(packages)
        .should()
        .callMethod(System.class, "currentTimeMillis")
        .orShould()
        .callMethod(System.class, "nanoTime")
        .orShould()
        .callMethod(Instant.class, "now")
        .orShould()
        .callMethod(LocalDate.class, "now")
        .orShould()
        .callMethod(LocalDateTime.class, "now")
        .orShould()
        .callMethod(ZonedDateTime.class, "now")
        .orShould()
        .callMethod(Clock.class, "systemUTC")
        .orShould()
        .callMethod(Thread.class, "sleep", long.class)
        .orShould()
        .callConstructor(Random.class)
        .orShould()
        .callMethod(Math.class, "random");
  }
}
