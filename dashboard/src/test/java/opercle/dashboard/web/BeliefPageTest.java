// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import opercle.analysis.watch.Belief;
import opercle.analysis.watch.TankChecks.Supply;
import opercle.analysis.watch.TankChecks.Trust;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * What the watch believes, told while no alarm stands; and where figures are from on every page.
 */
class BeliefPageTest extends InTheBrowser {

  private final FakeFarm farm = FakeFarm.quiet();

  @TempDir static Path folder;
  private static KeptAlarms kept;

  @BeforeAll
  static void open() {
    kept = closing(KeptAlarms.in(folder));
  }

  @BeforeEach
  void serve() {
    serve(farm, kept.past());
  }

  @AfterEach
  void nothingWentWrong() {
    assertThat(browser.complaints()).isEmpty();
  }

  static Belief.OfProbe trusted() {
    return new Belief.OfProbe(
        "1", Trust.TRUSTED, Optional.empty(), FakeFarm.NIGHT.minusSeconds(1), Optional.empty());
  }

  static Belief.OfMeter flow(double lPerMin, Supply says) {
    return new Belief.OfMeter(
        Belief.Measures.FLOW,
        "1",
        lPerMin,
        40.0,
        says,
        FakeFarm.NIGHT.minusSeconds(2),
        says == Supply.STOPPED ? Optional.of(FakeFarm.NIGHT.minusSeconds(95)) : Optional.empty());
  }

  private void look(String path, String until) {
    go(path);
    browser.until(until + " is there", () -> !browser.all(until).isEmpty());
  }

  private String believed(Trust trust, Supply supply, Belief belief) {
    farm.believe("h2", trust, supply, belief);
    look("/tank/h2", "#belief dd");
    browser.until("the newest is told", () -> browser.text("#belief").contains("Probe 1:"));
    return browser.text("#belief");
  }

  @ParameterizedTest
  @CsvSource({"desk, light", "phone, dark"})
  void trustedProbeAndUsualFlow_areTold_withoutAnAlarm(String size, String light) {
    if ("phone".equals(size)) {
      browser.phone();
    }
    browser.prefers(light);

    String told =
        believed(
            Trust.TRUSTED,
            Supply.NORMAL,
            new Belief(
                List.of(trusted()),
                List.of(
                    flow(40.1, Supply.NORMAL),
                    new Belief.OfMeter(
                        Belief.Measures.PRESSURE,
                        "1",
                        0.21,
                        0.2,
                        Supply.NORMAL,
                        FakeFarm.NIGHT.minusSeconds(3),
                        Optional.empty()))));

    assertThat(told)
        .contains(
            "Probe 1: trusted. Nothing speaks against it. Read at 02:11:06.",
            "As it should be. Flow meter 1: 40 L/min, usual 40 L/min. Read at 02:11:05.",
            "Line pressure, gauge 1: 0.21 bar, usual 0.20 bar. Read at 02:11:04.",
            "Oxygen: 8.6 mg/L at 02:11:06 and not running out",
            "02:11:07");
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
  }

  @Test
  void doubt_isTold_withWhyAndSinceWhen() {
    String told =
        believed(
            Trust.DOUBTED,
            Supply.NOT_MEASURED,
            new Belief(
                List.of(
                    new Belief.OfProbe(
                        "1",
                        Trust.DOUBTED,
                        Optional.of("repeats one value"),
                        FakeFarm.NIGHT.minusSeconds(1),
                        Optional.of(FakeFarm.NIGHT.minusSeconds(1200))),
                    new Belief.OfProbe(
                        "2",
                        Trust.NONE,
                        Optional.empty(),
                        FakeFarm.NIGHT.minusSeconds(4000),
                        Optional.empty()),
                    new Belief.OfProbe(
                        "3",
                        Trust.UNKNOWN,
                        Optional.empty(),
                        FakeFarm.NIGHT.minusSeconds(1),
                        Optional.empty())),
                List.of()));

    assertThat(told)
        .contains(
            "Probe 1: doubted since 14 Mar, 01:51, because it repeats one value.",
            "Probe 2: silent, last read 14 Mar, 01:04.",
            "Probe 3: not known whether it can be trusted, the watch has not said. Read at"
                + " 02:11:06.",
            "Not known: no meter tells, and the oxygen does not show it.");
  }

  @Test
  void withoutAMeter_steadyOxygenIsTheEvidence() {
    assertThat(
            believed(Trust.TRUSTED, Supply.NOT_MEASURED, new Belief(List.of(trusted()), List.of())))
        .contains(
            "As it should be, as far as the oxygen shows: no meter tells.",
            "fish breathe all the time, so gas must be reaching the water");
  }

  @Test
  void stoppedMeter_saysSinceWhen() {
    assertThat(
            believed(
                Trust.TRUSTED,
                Supply.STOPPED,
                new Belief(List.of(trusted()), List.of(flow(0.0, Supply.STOPPED)))))
        .contains(
            "None, or nearly none. Flow meter 1: 0.0 L/min, usual 40 L/min, none since 14 Mar,"
                + " 02:09.");
  }

  @ParameterizedTest
  @CsvSource({
    "/alarms, '#past li', Its words and figures: as the watch told them when it was raised",
    "/alarms/figures, '#rows tr', Counted from the alarms",
    "/monitor, '#parts dd', 'Heard last from each tank:'",
    "/cab, '#choice input', 'What is said: as the watch told it last'"
  })
  void figuresSayWhereTheyAreFrom(String path, String until, String words) {
    browser.phone();
    look(path, until);

    browser.press(".whence summary");

    browser.until("it is told", () -> browser.text(".whence[open]").contains(words));
    assertThat(PageChecks.notKeepersWords(browser)).isEmpty();
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
  }
}
