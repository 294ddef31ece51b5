package islet;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;

import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchRule;
import java.time.Instant;
import java.util.Random;
import java.util.Set;

/** The arrows between the packages of what stands in for the site, and the one source of time. */
@AnalyzeClasses(packages = "islet", importOptions = ImportOption.DoNotIncludeTests.class)
final class BenchArchitectureTest {

  @ArchTest
  static final ArchRule plantIsPhysicsOnly =
      classes()
          .that()
          .resideInAPackage("islet.plant..")
          .should()
          .onlyDependOnClassesThat()
          .resideInAnyPackage("java..", "islet.plant..", "org.hipparchus..", "net.e175..");

  @ArchTest
  static final ArchRule devicesKnowPlantAndContract =
      classes()
          .that()
          .resideInAPackage("islet.device..")
          .should()
          .onlyDependOnClassesThat()
          .resideInAnyPackage("java..", "islet.device..", "islet.plant..", "islet.contract..");

  @ArchTest
  static final ArchRule faultsKnowDevicesAndPlant =
      classes()
          .that()
          .resideInAPackage("islet.fault..")
          .should()
          .onlyDependOnClassesThat()
          .resideInAnyPackage(
              "java..", "islet.fault..", "islet.device..", "islet.plant..", "islet.contract..");

  @ArchTest
  static final ArchRule theBenchKnowsNeitherPageNorCommands =
      noClasses()
          .that()
          .resideInAPackage("islet.bench..")
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage("islet.live..", "islet.cli..", "islet.mqtt..", "org.eclipse.paho..");

  /** Hazards and expectations judge truth and wire, never the controller's opinion of itself. */
  @ArchTest
  static final ArchRule judgesDoNotKnowTheController =
      noClasses()
          .that()
          .implement("islet.bench.Witness")
          .and()
          .doNotHaveFullyQualifiedName("islet.bench.SiteSimulation")
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage("islet.control..", "islet.executive..");

  /** Live runs follow the wall clock, and a command may say how long it took; nobody else. */
  @ArchTest
  static final ArchRule nobodyAsksTheMachineForTheTime =
      noClasses()
          .that()
          .resideInAnyPackage("islet.plant..", "islet.device..", "islet.fault..", "islet.bench..")
          .should()
          .callMethod(System.class, "currentTimeMillis")
          .orShould()
          .callMethod(System.class, "nanoTime")
          .orShould()
          .callMethod(Instant.class, "now")
          .orShould()
          .callMethod(Thread.class, "sleep", long.class)
          .orShould()
          .callConstructor(Random.class)
          .orShould()
          .callMethod(Math.class, "random");

  private static final Set<String> DIFFER_BETWEEN_JVMS =
      Set.of(
          "sin", "cos", "tan", "asin", "acos", "atan", "atan2", "exp", "log", "log10", "pow",
          "cbrt", "sinh", "cosh", "tanh", "hypot", "expm1", "log1p");

  /**
   * StrictMath gives the same bits on every JVM and processor; Math need not, and a run's bytes
   * must not depend on it.
   */
  @ArchTest
  static void theSimulationUsesStrictMath(JavaClasses all) {
    ArchRule rule =
        noClasses()
            .that()
            .resideInAnyPackage(
                "islet.plant..", "islet.device..", "islet.bench..", "islet.control..")
            .should()
            .callMethodWhere(
                com.tngtech.archunit.base.DescribedPredicate.describe(
                    "calls an elementary function of Math",
                    call ->
                        call.getTargetOwner().isEquivalentTo(Math.class)
                            && DIFFER_BETWEEN_JVMS.contains(call.getName())));
    rule.check(all);
  }

  @ArchTest
  static final ArchRule noCycles = slices().matching("islet.(*)..").should().beFreeOfCycles();
}
