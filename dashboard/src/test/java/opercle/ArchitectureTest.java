// SPDX-License-Identifier: Apache-2.0
package opercle;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;

import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.core.importer.Location;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchRule;
import opercle.simulator.SimulatedNight;
import opercle.simulator.Truth;

/**
 * The walls of docs/architecture.md: which way dependencies run, and what thinking may not touch.
 */
@AnalyzeClasses(packages = "opercle", importOptions = ArchitectureTest.WhatIsShipped.class)
class ArchitectureTest {

  /** Neither test classes nor the jar of test classes that the modules share. */
  static final class WhatIsShipped implements ImportOption {
    @Override
    public boolean includes(Location location) {
      return new ImportOption.DoNotIncludeTests().includes(location)
          && !location.contains("-tests.jar");
    }
  }

  private static final String[] THINKING = {
    "opercle.ingest.reading..",
    "opercle.analysis.water..",
    "opercle.analysis.stock..",
    "opercle.analysis.gas..",
    "opercle.analysis.balance..",
    "opercle.analysis.plan..",
    "opercle.analysis.alarm..",
    "opercle.analysis.calling..",
    "opercle.analysis.watch..",
    "opercle.analysis.figures..",
    "opercle.analysis.evening..",
    "opercle.analysis.monitor..",
    "opercle.analysis.records..",
    "opercle.analysis.trip..",
    "opercle.analysis.holding..",
  };

  @ArchTest
  static final ArchRule ingest_knowsNothingOfTheModulesAboveIt =
      noClasses()
          .that()
          .resideInAPackage("opercle.ingest..")
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage("opercle.analysis..", "opercle.simulator..", "opercle.dashboard..");

  @ArchTest
  static final ArchRule analysis_knowsNothingOfTheModulesAboveIt =
      noClasses()
          .that()
          .resideInAPackage("opercle.analysis..")
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage("opercle.simulator..", "opercle.dashboard..");

  @ArchTest
  static final ArchRule simulator_neitherShowsItselfNorBorrowsTheWatchsModel =
      noClasses()
          .that()
          .resideInAPackage("opercle.simulator..")
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage(
              "opercle.dashboard..",
              "opercle.analysis.watch..",
              "opercle.analysis.alarm..",
              "opercle.analysis.balance..",
              "opercle.analysis.publish..",
              "opercle.analysis.trace..");

  /** A watch that could look up what really happens would be found very good. */
  @ArchTest
  static final ArchRule truth_isForTheSimulatorAndTheAssessmentAlone =
      noClasses()
          .that()
          .resideOutsideOfPackages("opercle.simulator..", "opercle.dashboard.assess..")
          .should()
          .dependOnClassesThat()
          .belongToAnyOf(Truth.class, SimulatedNight.class);

  @ArchTest
  static final ArchRule thinking_touchesNoWorld =
      noClasses()
          .that()
          .resideInAnyPackage(THINKING)
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage(
              "opercle.ingest.mqtt..",
              "opercle.ingest.store..",
              "opercle.ingest.payload..",
              "java.io..",
              "java.net..",
              "java.nio.file..",
              "java.sql..",
              "java.util.concurrent..",
              "org.slf4j..",
              "com.fasterxml..");

  @ArchTest
  static final ArchRule thinking_readsNoClock =
      noClasses()
          .that()
          .resideInAnyPackage(THINKING)
          .should()
          .callMethod(System.class, "currentTimeMillis")
          .orShould()
          .callMethod(System.class, "nanoTime")
          .orShould()
          .callMethod(java.time.Instant.class, "now")
          .orShould()
          .dependOnClassesThat()
          .areAssignableTo(java.time.Clock.class)
          .orShould()
          .dependOnClassesThat()
          .areAssignableTo(Thread.class);

  @ArchTest
  static final ArchRule mqttClientLibrary_staysBehindOurOneConnection =
      noClasses()
          .that()
          .haveNameNotMatching("opercle\\.ingest\\.mqtt\\.Paho.*")
          .should()
          .dependOnClassesThat()
          .resideInAPackage("org.eclipse.paho..");

  @ArchTest
  static final ArchRule databaseTools_stayBehindTheStoreAndTheFarmBook =
      noClasses()
          .that()
          .resideOutsideOfPackages("opercle.ingest.store..", "opercle.analysis.book..")
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage(
              "org.flywaydb..",
              "org.sqlite..",
              "org.postgresql..",
              "com.zaxxer..",
              "com.influxdb..",
              "okhttp3..",
              "retrofit2..");

  @ArchTest
  static final ArchRule packages_haveNoCycles =
      slices().matching("opercle.(*).(*)..").should().beFreeOfCycles();
}
