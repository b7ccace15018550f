// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.nio.file.Path;
import opercle.analysis.book.FarmVersion;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** On a phone: whether the fish of a trip that was withdrawn are in its tank again. */
class TripTankPageTest {

  private static final String YES = "#tank-load button.solid";
  private static final String NO = "#tank-load button:not(.solid)";

  @TempDir Path folder;
  private ServedTrips served;
  private TripPhone phone;
  private Browser browser;

  @BeforeEach
  void open() throws Exception {
    served = new ServedTrips(folder).withDoor().serve();
    post(
        "trips",
        "{'id':'trip-1','time':'"
            + FakeFarm.NIGHT.minusSeconds(3600)
            + "','by':'Maren','tank':'t1','from':'Holding 2','to':'Long Pool'}");
    post(
        "trips/trip-1/unloading",
        "{'id':'out','time':'" + FakeFarm.NIGHT.minusSeconds(60) + "','by':'Maren','losses':[]}");
    post(
        "trips/trip-1/withdrawal",
        "{'id':'gone','time':'" + FakeFarm.NIGHT + "','by':'Maren','why':'another tank'}");
    phone = TripPhone.with(served);
    browser = phone.browser;
  }

  @AfterEach
  void close() {
    phone.close();
  }

  private void post(String path, String body) throws Exception {
    HttpResponse<String> answer = served.post("/api/v1/" + path, body);
    assertThat(answer.statusCode()).as(answer.body()).isLessThan(300);
  }

  private FarmVersion farm() {
    return served.versions.newest().orElseThrow();
  }

  private double kg() {
    return farm().farm().tank("t1").orElseThrow().loadKg();
  }

  private void openTrip() {
    phone.go("/trips/trip-1");
    browser.until(
        "the trip's page", () -> browser.text("#title").contains("Holding 2 to Long Pool"));
    browser.until("what was written", () -> browser.all("#written li").size() == 3);
  }

  @Test
  void recordIsWrittenAsOffered_byItsButton() throws Exception {
    openTrip();
    assertThat(browser.text("#tank-load"))
        .contains("Is the tank’s record right?")
        .contains(
            "The record of Trailer tank says no fish. By this trip it would say 140 kg of common carp in 60 fish.")
        .contains("Look into the tank first");
    assertThat(browser.text(YES)).isEqualTo("Write it so");
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
    assertThat(kg()).as("never by itself").isZero();

    browser.press(YES);

    browser.until("it is answered", () -> !browser.find("#tank-load").isDisplayed());
    assertThat(kg()).isEqualTo(140.0);
    assertThat(farm().by()).isEqualTo("Maren");
    openTrip();
    assertThat(browser.find("#tank-load").isDisplayed()).as("asked once").isFalse();
  }

  @Test
  void recordStaysAsItIs_byItsButton_andNobodyIsAskedAgain() {
    openTrip();
    long before = farm().number();
    assertThat(browser.text(NO)).isEqualTo("Leave the record as it is");

    browser.press(NO);

    browser.until("it is answered", () -> !browser.find("#tank-load").isDisplayed());
    assertThat(kg()).isZero();
    assertThat(farm().number()).as("the farm as it was").isEqualTo(before);
    openTrip();
    assertThat(browser.find("#tank-load").isDisplayed()).as("asked once").isFalse();
  }

  @Test
  void firstAnswerHolds_whereTwoPhonesAsk_andTheOtherIsTold() throws Exception {
    openTrip();
    post(
        "trips/trip-1/tank-load",
        "{'by':'Tove','entry':'gone','do':'leave','basedOn':" + farm().number() + "}");

    browser.press(YES);

    browser.until("it is answered", () -> !browser.find("#tank-load").isDisplayed());
    assertThat(browser.text("#trouble"))
        .isEqualTo(
            "Somebody has answered meanwhile: the record of Trailer tank stays as it is. It says no"
                + " fish now.");
    assertThat(kg()).isZero();
  }
}
