// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import opercle.analysis.book.FarmBook;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Water that went from a holding tank, on a phone: how to fill it up, and that it was done. */
class TopUpPageTest extends InTheBrowser {

  @TempDir Path folder;
  private FarmBook book;

  @BeforeEach
  void open() {
    book = closing(FarmBook.open(folder.resolve("book.db")));
    FakeFarm farm =
        new FakeFarm(
            List.of(
                FakeFarm.air("h3", "Holding 3", 38.0, FakeFarm.load(Species.ROACH, 18.0, 160)),
                FakeFarm.air(
                    "q1",
                    "Quarantine",
                    20.0,
                    new Tank.Load(Species.PERCH, 9.5, OptionalInt.of(30), Optional.empty()))));
    serve(farm, PastAlarms.NONE, List.of(KeptHolding.in(book, farm, PastAlarms.NONE)));
    browser.phone();
    go("/holding");
    browser.run("localStorage.setItem('opercle-name', 'Maren'); return true;");
  }

  private void look(String tank, String name) {
    go("/holding?tank=" + tank);
    browser.until("the tank", () -> browser.text("#salt-tank").equals(name));
  }

  private void press(String css) {
    browser.run(
        "document.querySelector('" + css + "').scrollIntoView({ block: 'center' }); return true;");
    browser.find(css).click();
  }

  /** Writes one amount down, as the page says it. */
  private void keep(String kind, String value) {
    int there = browser.all("#work li").size();
    browser.run(
        ("const part = document.querySelector('[data-kind=%s]'); part.open = true;"
                + "part.querySelector('input').value = '%s';"
                + "[...part.querySelectorAll('button')].find((b) => b.textContent === 'Keep').click();"
                + "return true;")
            .formatted(kind, value));
    browser.until(kind + " is kept", () -> browser.all("#work li").size() == there + 1);
  }

  private double number(String path) {
    return Double.parseDouble(
        String.valueOf(
            browser.run(
                "const x = new XMLHttpRequest(); x.open('GET', '/api/v1/tanks/h3/holding', false);"
                    + "x.send(); return String(JSON.parse(x.responseText)."
                    + path
                    + ");")));
  }

  @Test
  void topUp_isReckoned_writtenDown_andChangesTheSaltRight() throws Exception {
    look("h3", "Holding 3");
    keep("salt", "2");
    double litres = number("waterLitres");
    double before = number("saltGPerKg.likely");
    assertThat(before).isCloseTo(2000.0 / litres, within(1e-4));

    press("#fill");
    browser.until("how much?", () -> browser.text("#trouble").contains("Say how much water"));
    browser.run(
        "const f = document.querySelectorAll('#top-up input, #top-up select'); f[0].value = '"
            + litres / 10.0
            + "'; [...f].find((x) => x.tagName === 'SELECT').value = 'ran-out'; return true;");
    press("#fill");
    browser.until("how", () -> browser.text("#answer").contains("Fill up"));
    assertThat(browser.text("#answer"))
        .contains("What ran out took its salt along", "0.2 kg of salt with it, dissolved first.");
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
    Files.createDirectories(Path.of("target", "pages"));
    Files.write(Path.of("target", "pages", "holding-top-up-phone.png"), browser.picture());

    browser.run("document.querySelector('[data-kind=top-up] select').value = 'ran-out'; return 1;");
    keep("top-up", Double.toString(litres / 10.0));
    assertThat(number("saltGPerKg.likely")).isCloseTo(0.9 * before, within(1e-4));
    assertThat(browser.text("#work")).contains("that ran out");
  }

  @Test
  void changeOfWhatIsNotKnown_isAskedForInASentence() {
    look("q1", "Quarantine");
    press("#litres");

    browser.until("why not", () -> browser.find("#trouble").isDisplayed());
    assertThat(browser.text("#trouble"))
        .isEqualTo(
            "Not done. How much there is now is not known, so no change can be worked out. Test the"
                + " water first.");
  }
}
