// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.records.TankEntry;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.TripLog;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A night that is past, looked at on a phone: with the fish that were in the tank then. */
class NightPageTest {

  private static final Instant DUSK = Instant.parse("2026-03-13T20:00:00Z");

  @TempDir Path folder;
  private ServedTrips served;
  private TripPhone phone;
  private Browser browser;

  @BeforeEach
  void open() {
    served = new ServedTrips(folder).withVersions();
    served.farm.zone(ZoneId.of("UTC"));
    phone = TripPhone.with(served.serve());
    browser = phone.browser;
  }

  @AfterEach
  void close() {
    phone.close();
  }

  /** The farm of today but for the tench in Holding 1. */
  private void version(Instant since, double tenchKg) {
    Farm today = served.farm.farm();
    served.versions.add(
        new Farm(
            today.name(),
            today.altitudeM(),
            today.tanks().stream()
                .map(
                    t ->
                        t.id().equals("h1")
                            ? t.withLoads(
                                List.of(
                                    new Tank.Load(
                                        Species.TENCH,
                                        tenchKg,
                                        OptionalInt.empty(),
                                        Optional.empty())))
                            : t)
                .toList()),
        since,
        "Maren",
        List.of("Otherwise."));
  }

  private void look(String day, int hours) {
    phone.openList();
    browser.run(
        ("document.getElementById('a-night').open = true;"
                + "const set = (id, v) => { document.getElementById(id).value = v; };"
                + "set('night-tank', 'h1'); set('night-day', '%s'); set('night-from', '20');"
                + "set('night-hours', '%d'); return true;")
            .formatted(day, hours));
    browser.press("#night-form button");
  }

  private TripLog only() {
    return phone.only();
  }

  @Test
  void night_isReviewedWithTheFishOfThen_andTheSaltInTheWater() {
    version(DUSK.minus(Duration.ofDays(3)), 80.0);
    version(DUSK.plus(Duration.ofHours(5)), 55.0);
    var unused =
        served.records.keep(
            "salt-0001",
            "Maren",
            DUSK,
            Optional.empty(),
            new TankEntry.Salt(
                new TankEntry.Where("h1", Optional.of("Holding 1"), DUSK.minus(Duration.ofDays(1))),
                3.0,
                Optional.empty()));

    look("2026-03-13", 4);

    browser.until("the review", () -> browser.text("#title").equals("Holding 1, a night"));
    assertThat(only().trip().loadKg()).isEqualTo(80.0);
    assertThat(only().trip().tank().saltGPerKg())
        .isEqualTo(3000.0 / only().trip().tank().waterLitres());
  }

  @Test
  void tripBegunByMistake_isWithdrawn_andStaysReadable() {
    look("2026-03-13", 4);
    browser.until("the review", () -> browser.text("#title").equals("Holding 1, a night"));
    browser.run("document.getElementById('entries').open = true; return true;");
    browser.press("#withdraw");
    browser.until("why", () -> !browser.all("#why").isEmpty());
    browser.find("#why").sendKeys("the wrong tank");
    browser.find("dialog .solid").click();

    browser.until("it is said", () -> browser.text("#subtitle").contains("the wrong tank"));
    assertThat(only().withdrawn().orElseThrow().by()).isEqualTo("Maren");
    assertThat(browser.text("#written")).contains("the trip is withdrawn: the wrong tank");
    assertThat(browser.find("#withdraw").isDisplayed()).isFalse();
    assertThat(browser.all("#written button")).as("nothing more to put right").isEmpty();
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
    phone.go("/trips");
    browser.until("the list", () -> browser.text("#list").contains("withdrawn"));
    assertThat(browser.text("#list")).contains("Maren: the wrong tank");
    assertThat(browser.find("#comparing").isDisplayed()).isFalse();
  }

  @Test
  void fishThatBecameOthersInTheNight_areToldOf_andNothingIsWritten() {
    version(DUSK.minus(Duration.ofDays(3)), 80.0);
    version(DUSK.plus(Duration.ofHours(2)), 55.0);

    look("2026-03-13", 6);

    browser.until("why not", () -> browser.find("#trouble").isDisplayed());
    assertThat(browser.text("#trouble"))
        .isEqualTo(
            "The fish in Holding 1 became others on 13 Mar 2026, 22:00: before, 80.0 kg of tench;"
                + " from then on, 55.0 kg of tench. What they breathed goes by their weight, so look"
                + " at the time before that, or after it.");
    assertThat(browser.find("#night-today-part").isDisplayed()).isFalse();
    assertThat(served.trips.newest(FakeFarm.NIGHT, 10)).isEmpty();
  }

  @Test
  void fishThatNobodyKnows_areAskedFor_andTheAnswerStandsInTheReview() throws Exception {
    version(DUSK.plus(Duration.ofHours(5)), 55.0);

    look("2026-03-13", 4);

    browser.until("it asks", () -> browser.find("#night-today-part").isDisplayed());
    assertThat(browser.text("#trouble"))
        .startsWith("Which fish were in Holding 1 on 13 Mar 2026, 20:00 nobody knows");
    assertThat(served.trips.newest(FakeFarm.NIGHT, 10)).isEmpty();
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
    Files.createDirectories(Path.of("target", "pages"));
    Files.write(Path.of("target", "pages", "night-asked-phone.png"), browser.picture());

    browser.find("#night-today-part").click();
    browser.press("#night-form button");

    browser.until("the review", () -> browser.text("#title").equals("Holding 1, a night"));
    assertThat(only().trip().loadKg()).isEqualTo(55.0);
    assertThat(only().trip().load().get(0).count()).isEqualTo(OptionalInt.of(70));
    assertThat(browser.text("#report-parts"))
        .contains("Maren says that they were in the tank then.");
    assertThat(only().trip().cylinderBar()).isEqualTo(OptionalDouble.empty());
  }
}
