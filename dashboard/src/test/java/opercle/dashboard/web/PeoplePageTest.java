// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import io.javalin.config.RoutesConfig;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.stream.Stream;
import opercle.dashboard.calling.Called;
import opercle.dashboard.calling.KeptPeople;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.support.ui.Select;

/** The people who are called, set up with a thumb, in a real browser. */
class PeoplePageTest extends InTheBrowser {

  @TempDir Path folder;
  private final FakeFarm farm = FakeFarm.quiet();
  private KeptSetUp setUp;
  private KeptPeople people;

  @BeforeEach
  void look() {
    setUp = closing(KeptSetUp.in(folder, farm.farm()));
    people =
        KeptPeople.in(
            folder,
            """
            people:
              - name: Maren
                channels: [ push, { mail: maren@example.org } ]
            """,
            farm.farm(),
            FakeFarm.NIGHT);
    List<Consumer<RoutesConfig>> routes =
        Stream.<Consumer<RoutesConfig>>concat(Stream.of(setUp.api(true)), people.routes().stream())
            .toList();
    serve(farm, PastAlarms.NONE, routes);
    browser.phone();
    assertThat(browser.complaints()).isNotNull(); // those of other tests are done with
    go("/setup");
    browser.driver().executeScript("localStorage.setItem('opercle-name', 'Ines');");
    go("/setup");
    browser.until("the people are there", () -> browser.all("#people > li").size() == 1);
  }

  @AfterEach
  void leave() {
    people.close();
  }

  private List<String> called() {
    return people.desk.settings().called().stream().map(Called::name).toList();
  }

  @Test
  void person_isAdded_withWhatIsWrongAtItsFields_thenChanged_andTakenOut() throws IOException {
    browser.press("#add-person");
    browser.press("#new-person [value=another]");
    browser.type("#person-new-way-1-channels-1-mail", "tomas at home");
    browser.type("#person-new-way-1-channels-1-mail", "tomas at home");
    browser.press("#new-person button[type=submit]");
    browser.until(
        "what is wrong stands at both fields",
        () ->
            browser.text("#person-new-name-wrong").equals("Is missing.")
                && browser
                    .text("#person-new-way-1-channels-1-mail-wrong")
                    .equals("\"tomas at home\" is no mail address, such as maren@example.org."));
    Pictures.keepInEveryForm(browser, "setup-person", "#new-person form");
    assertThat(browser.complaints()).allMatch(c -> c.contains("422"));

    browser.type("#person-new-name", "Tomas");
    browser.type("#person-new-way-1-channels-1-mail", "tomas@example.org");
    new Select(browser.find("#person-new-place")).selectByVisibleText("first");
    browser.press("#new-person button[type=submit]");
    browser.until("Tomas is called", () -> called().equals(List.of("Tomas", "Maren")));
    browser.until("and is shown first", () -> browser.text("#people > li h3").equals("Tomas"));
    browser.run("document.getElementById('people-part').scrollIntoView(); return true;");
    Pictures.look(browser, "setup-people-phone");
    browser.desk();
    browser.run("document.getElementById('people-part').scrollIntoView(); return true;");
    Pictures.look(browser, "setup-people-desk");
    browser.phone();
    assertThat(browser.text("#people > li")).contains("mail to tomas@example.org", "Never tested.");

    browser.press("[data-person=Tomas] button[aria-label='Send a test to Tomas by mail']");
    browser.until("a test went there", () -> people.sent.contains("Tomas: tomas@example.org"));

    browser.press("[data-person=Tomas] [value=change]");
    new Select(browser.find("#person-0-way-1-kind"))
        .selectByVisibleText("Another program (web address)");
    browser.type("#person-0-way-1-channels-1-webhook-url", "https://calls.example.org/in/aBcD");
    browser.type("#person-0-way-1-channels-1-webhook-secret", "a line of pike");
    browser.press("[data-person=Tomas] [type=submit]");
    browser.until(
        "the page names the machine alone",
        () ->
            browser
                .text("[data-person=Tomas]")
                .contains("another program at calls.example.org, signed"));
    assertThat(browser.driver().getPageSource()).doesNotContain("aBcD", "a line of pike");

    browser.press("[data-person=Tomas] [value=change]");
    browser.type("#person-0-hours-from", "0600PM");
    browser.type("#person-0-hours-to", "0600AM");
    browser.press("[data-person=Tomas] [type=submit]");
    browser.until(
        "the hours are shown, and the way stayed",
        () -> browser.text("[data-person=Tomas]").contains("On call from 18:00 to 06:00."));
    assertThat(browser.text("[data-person=Tomas]"))
        .contains("another program at calls.example.org");

    browser.press("[data-person=Tomas] [value=remove]");
    browser.press("[data-person=Tomas] [type=submit]");
    browser.until("Tomas is called no longer", () -> called().equals(List.of("Maren")));
  }

  @Test
  void personWhomAnotherHasChangedMeanwhile_isRefused_withWhatTheyDid() throws Exception {
    browser.press("[data-person=Maren] [value=change]");
    browser.type("#person-0-name", "Mara");
    people.desk.describe(
        1,
        "Tomas",
        Optional.of("Maren"),
        new com.fasterxml.jackson.databind.ObjectMapper()
            .readTree("{\"name\":\"Maren\",\"channels\":[\"push\"]}"),
        java.util.OptionalInt.empty());

    browser.press("[data-person=Maren] [type=submit]");

    browser.until(
        "it says who did what",
        () ->
            browser
                .text("[data-person=Maren] form .trouble")
                .startsWith(
                    "Tomas has changed who is called meanwhile: Maren is called by notice"));
    assertThat(called()).containsExactly("Maren");
    browser.until(
        "what only the other touched is theirs",
        () -> browser.all("[data-person=Maren] form .way").size() == 1);

    browser.press("[data-person=Maren] [type=submit]");
    browser.until("it is done on purpose", () -> called().equals(List.of("Mara")));
    assertThat(people.desk.settings().called().get(0).ways())
        .as("as the other made them")
        .hasSize(1);
  }
}
