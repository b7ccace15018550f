// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import opercle.analysis.Band;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.MeasuredDemand;
import opercle.analysis.trip.PastDemand;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A plan on a phone by what the farm's own trips measured, or by the published estimate. */
class PlanRatePageTest {

  @TempDir Path folder;
  private TripPhone phone;
  private Browser browser;

  @BeforeEach
  void open() {
    ServedTrips served = new ServedTrips(folder);
    for (int trip = 0; trip < 2; trip++) {
      served.trips.learn(
          new PastDemand(
              "trip-" + trip,
              FakeFarm.NIGHT,
              Species.COMMON_CARP,
              2.3,
              12.0,
              MeasuredDemand.Way.GAS_OFF,
              new Band(18.0, 20.0 + trip, 23.0)));
    }
    phone = TripPhone.with(served.serve());
    browser = phone.browser;
    phone.go("/plan?tank=t1");
    answered();
  }

  @AfterEach
  void close() {
    phone.close();
  }

  private void answered() {
    browser.until(
        "the answer",
        () ->
            "false".equals(browser.find("#plan").getDomAttribute("data-stale"))
                && browser.find("#answer").isDisplayed());
  }

  private void choose(String id, String value) {
    browser.run(
        ("const field = document.getElementById('%s'); field.value = '%s';"
                + "field.dispatchEvent(new Event('input', { bubbles: true })); return true;")
            .formatted(id, value));
    answered();
  }

  private boolean isByTheFarm() {
    return browser
        .run("return document.getElementById('notes').textContent;")
        .toString()
        .contains("as 2 of the farm's own trips measured it");
  }

  @Test
  void plan_goesByTheFarmsOwnTrips_sayingSo_andByThePublishedEstimateWhereAsked() throws Exception {
    browser.until("its own estimate", this::isByTheFarm);
    assertThat(browser.text("#rate-words"))
        .startsWith("Your own estimate: 2")
        .contains(
            " mg of oxygen an hour for each kg, likely between ",
            "from 2 trips of such fish in such water.")
        .endsWith("That is few, so the bounds are wider.");
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
    Files.createDirectories(Path.of("target", "pages"));
    browser.run("document.getElementById('rate-part').scrollIntoView(); return true;");
    Files.write(Path.of("target", "pages", "plan-rate-phone.png"), browser.picture());

    assertThat(browser.find("#to-trip").getDomAttribute("href")).isEqualTo("/trips?plan=1&tank=t1");
    phone.go("/trips?plan=1&tank=t1");
    browser.until(
        "the plan goes with the trip", () -> browser.text("#by-plan").startsWith("It starts from"));
    phone.go("/plan?tank=t1");
    answered();
    browser.until("its own estimate again", this::isByTheFarm);

    choose("rate", "published");
    browser.until("the published one", () -> !isByTheFarm());
    assertThat(browser.find("#rate-part").isDisplayed()).isTrue();

    choose("rate", "own");
    browser.until("its own again", this::isByTheFarm);
    choose("load-0-species", "tench");
    browser.until("no trip tells of tench", () -> !isByTheFarm());
    assertThat(browser.find("#rate-part").isDisplayed()).isFalse();
  }
}
