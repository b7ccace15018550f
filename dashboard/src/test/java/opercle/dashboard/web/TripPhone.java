// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import opercle.analysis.trip.TripLog;

/** Maren's phone, with the pages of {@link ServedTrips} on it. For one thread. */
final class TripPhone implements AutoCloseable {

  final ServedTrips at;
  final Browser browser;

  private TripPhone(ServedTrips at, Browser browser) {
    this.at = at;
    this.browser = browser;
  }

  /** With the list of trips open; skips the test where no browser is installed. */
  static TripPhone with(ServedTrips at) {
    Browser browser = Browser.open();
    browser.phone();
    browser.go(at.url("/trips"));
    browser.run("localStorage.setItem('opercle-name', 'Maren'); return true;");
    return new TripPhone(at, browser);
  }

  /** An empty book in a folder, an hour before the traces of the fake farm end; on a phone. */
  static TripPhone onTheRoad(Path folder) {
    ServedTrips at = new ServedTrips(folder);
    at.farm.advance(Duration.ofHours(-1));
    return with(at.withDoor().serve());
  }

  void go(String path) {
    browser.go(at.url(path));
  }

  /** The list of trips, ready to be written in. */
  void openList() {
    go("/trips");
    browser.until("the tanks", () -> !browser.all("#tank option").isEmpty());
    browser.until("it can be written", () -> browser.find("#start").isDisplayed());
  }

  /** Starts a trip of an hour. */
  void begin() {
    openList();
    browser.press("#start summary");
    assertThat(browser.find("#bar").getDomProperty("value")).as("nobody read the gauge").isEmpty();
    browser.type("#from", "Holding 2");
    browser.type("#to", "Long Pool");
    browser.type("#minutes", "60");
    browser.press("#start-form button[type=submit]");
    untilTheTrip();
  }

  void untilTheTrip() {
    browser.until("the trip's page", () -> browser.text("#title").equals("Holding 2 to Long Pool"));
    browser.until(
        "that it can be written",
        () -> browser.find("#check").isDisplayed() || browser.all("#written li").size() > 1);
  }

  /** Half an hour on the road; returns once the page knows the time. */
  void drive() {
    Object before = browser.run("return document.getElementById('clock').textContent;");
    at.farm.advance(Duration.ofMinutes(30));
    browser.until(
        "the time on the page",
        () -> !browser.run("return document.getElementById('clock').textContent;").equals(before));
  }

  /** The newest trip in the book. */
  TripLog only() {
    return at.trips.newest(FakeFarm.NIGHT.plusSeconds(3600), 10).get(0);
  }

  @Override
  public void close() {
    browser.close();
    at.close();
  }
}
