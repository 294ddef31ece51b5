package islet;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;

import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchRule;

/** The arrows between the packages of what ships, and what the pure logic may not touch. */
@AnalyzeClasses(packages = "islet", importOptions = ImportOption.DoNotIncludeTests.class)
final class ControllerArchitectureTest {

  @ArchTest
  static final ArchRule contractKnowsOnlyTheJdkAndJson =
      classes()
          .that()
          .resideInAPackage("islet.contract")
          .should()
          .onlyDependOnClassesThat()
          .resideInAnyPackage("java..", "islet.contract", "com.fasterxml.jackson.core..");

  @ArchTest
  static final ArchRule siteKnowsOnlyTheContract =
      noClasses()
          .that()
          .resideInAPackage("islet.site")
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage("islet.control", "islet.executive", "islet.mqtt", "islet.app");

  @ArchTest
  static final ArchRule controlIsPure =
      classes()
          .that()
          .resideInAPackage("islet.control")
          .should()
          .onlyDependOnClassesThat()
          .resideInAnyPackage(
              "java.lang..",
              "java.util..",
              "java.time..",
              "islet.contract",
              "islet.site",
              "islet.control",
              "islet.control.plan");

  @ArchTest
  static final ArchRule thePlanIsACalculation =
      classes()
          .that()
          .resideInAPackage("islet.control.plan")
          .should()
          .onlyDependOnClassesThat()
          .resideInAnyPackage(
              "java.lang..", "java.util..", "org.hipparchus..", "islet.control.plan");

  @ArchTest
  static final ArchRule controlHasNoThreadsAndNoChance =
      noClasses()
          .that()
          .resideInAPackage("islet.control..")
          .should()
          .dependOnClassesThat()
          .haveFullyQualifiedName("java.lang.Thread")
          .orShould()
          .dependOnClassesThat()
          .resideInAnyPackage("java.util.concurrent..", "java.util.random..", "java.util.logging..")
          .orShould()
          .dependOnClassesThat()
          .haveFullyQualifiedName("java.util.Random");

  @ArchTest
  static final ArchRule executiveDoesNotKnowTheTransport =
      noClasses()
          .that()
          .resideInAPackage("islet.executive..")
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage("islet.mqtt", "islet.app", "org.eclipse.paho..");

  @ArchTest
  static final ArchRule theScanKnowsNothingOfWhoMeasuresIt =
      noClasses()
          .that()
          .resideInAnyPackage(
              "islet.contract", "islet.site", "islet.control..", "islet.executive..")
          .should()
          .dependOnClassesThat()
          .resideInAPackage("islet.metrics");

  @ArchTest
  static final ArchRule mqttKnowsOnlyTheContract =
      noClasses()
          .that()
          .resideInAPackage("islet.mqtt")
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage("islet.site", "islet.control", "islet.executive", "islet.app");

  /** Only the port to the network may know wall time: its time-outs and back-off have no other. */
  @ArchTest
  static final ArchRule nobodyAsksTheMachineForTheTime =
      Clocks.forbidden(
          "islet.contract",
          "islet.site",
          "islet.control",
          "islet.executive",
          "islet.executive.journal",
          "islet.metrics");

  @ArchTest
  static final ArchRule noCycles = slices().matching("islet.(*)..").should().beFreeOfCycles();
}
