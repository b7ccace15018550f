// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import opercle.analysis.book.FarmBook;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.Keys;

/** Holding in a real browser. */
class HoldingPageTest extends InTheBrowser {

  @TempDir private static Path folder;
  private static FarmBook book;

  @BeforeAll
  static void open() {
    book = closing(FarmBook.open(folder.resolve("book.db")));
    FakeFarm farm = FakeFarm.quiet();
    serve(farm, PastAlarms.NONE, List.of(KeptHolding.in(book, farm, PastAlarms.NONE)));
    go("/holding?tank=h2");
    browser.run("localStorage.setItem('opercle-name', 'Maren'); return true;");
  }

  private static void look() {
    go("/holding?tank=h2");
    browser.until("what was done", () -> !browser.all("#work li").isEmpty());
  }

  @Test
  void aTank_saysWhatBuiltUp_andWhatToDoNext() {
    look();
    String tank = browser.text(".holding-tank[data-tank=h2]");

    assertThat(tank).contains("kg/m³", "ammonia", "carbon dioxide", "salt");
    browser.run(
        "document.querySelector('.holding-tank[data-tank=h2] summary').click(); return true;");
    assertThat(browser.text(".holding-tank[data-tank=h2] .facts"))
        .contains("measured from 13 Mar", "by the fish and the water under Tanks and probes")
        .contains("Worked out at 02:11.", "as its probe read it last");
    assertThat(tank).contains("withdrawal period to 30 Mar 2026, as the vet said");
    assertThat(browser.text("#work")).contains("A bath against fungus, 20 mL");
  }

  @Test
  void salt_isReckoned_writtenDown_andCounts() {
    look();
    browser.run(
        "document.querySelector('#salt input').value = '2';"
            + "document.getElementById('dose').click(); return true;");
    browser.until("a dose", () -> browser.text("#answer").contains("of salt takes"));
    assertThat(browser.text("#answer"))
        .contains("vet", "conductivity probe", "Now: ", "The rest is worked out from that");

    browser.run(
        "const d = document.querySelector('[data-kind=salt]'); d.open ="
            + " true;d.querySelector('input').value = '3'; d.querySelector('button').click();"
            + " return true;");
    browser.until("it is kept", () -> browser.text("#done").equals("Holding 2: kept."));
    assertThat(browser.text("#work li:first-child")).contains("3 kg of salt");
    browser.until(
        "it counts", () -> !browser.text(".holding-tank[data-tank=h2]").contains("salt 0.0 g/L"));
  }

  @Test
  void whatWasWrittenWrong_isPutRight_whereItStands() {
    look();
    browser.run(
        "[...document.querySelectorAll('#work li')].find((li) => li.textContent.includes('fed'))"
            + ".querySelector('button').click(); return true;");
    browser.until("asked why", () -> !browser.all("#why").isEmpty());
    browser.find("#why").sendKeys("another bag", Keys.ENTER);
    browser.until(
        "the form holds it",
        () -> "0.3".equals(browser.find("[data-kind=feed] input").getDomProperty("value")));
    browser.run(
        "const d = document.querySelector('[data-kind=feed]'); d.querySelector('input').value ="
            + " '0.5';d.querySelector('button').click(); return true;");

    browser.until("it is put right", () -> browser.text("#work").contains("fed 0.5 kg"));
    assertThat(browser.text("#work")).contains("Put right by Maren: another bag", "fed 0.3 kg");
  }

  @Test
  void whatIsReadAnew_leavesTheFocus_andWhatWasOpened() {
    String soon = browser.soon();
    try {
      look();
      browser.run(
          "const d = document.querySelector('.holding-tank[data-tank=h2] details'); d.open = true;"
              + "d.querySelector('summary').focus(); return true;");
      browser.untilAsked("/api/v1/holding", 3);
      assertThat(
              browser.run(
                  "const a = document.activeElement;return a.closest('.holding-tank')?.dataset.tank"
                      + " + ' ' + a.parentNode.open;"))
          .isEqualTo("h2 true");

      browser.run("document.querySelector('#work li button').focus(); return true;");
      browser.untilAsked("/api/v1/holding", 3);
      assertThat(browser.run("return document.activeElement.textContent;")).isEqualTo("Put right");

      go("/tank/h2");
      browser.until("what built up", () -> !browser.all("#holding a.button").isEmpty());
      browser.run("document.querySelector('#holding a.button').focus(); return true;");
      browser.untilAsked("/api/v1/tanks/h2/holding", 3);
      assertThat(browser.run("return document.activeElement.closest('section')?.id ?? '';"))
          .isEqualTo("holding");
    } finally {
      browser.noLonger(soon);
    }
  }

  @Test
  void whatIsPutRight_keepsToTheLastDigit_whatNobodyTouched() {
    browser.run("localStorage.setItem('opercle-unit-mass', 'lb'); return true;");
    look();
    browser.run(
        "[...document.querySelectorAll('#work li')].find((li) => li.textContent.includes('bath'))"
            + ".querySelector('button').click(); return true;");
    browser.until("asked why", () -> !browser.all("#why").isEmpty());
    browser.find("#why").sendKeys("as it was", Keys.ENTER);
    browser.until("the form is open", () -> !browser.all("[data-kind=treatment][open]").isEmpty());
    String fields =
        "return JSON.stringify((await (await fetch('/api/v1/tanks/h2/holding')).json())"
            + ".work.find((w) => w.kind === 'treatment').fields);";
    Object before = browser.run(fields);
    browser.run(
        "document.querySelector('[data-kind=treatment] button').click();"
            + "localStorage.removeItem('opercle-unit-mass'); return true;");

    browser.until("it is kept", () -> browser.text("#work").contains("Put right by Maren: as it"));
    assertThat(browser.run(fields)).isEqualTo(before);
  }

  @Test
  void afterALostAnswer_whatIsChanged_isAnotherEntry() {
    look();
    browser.run(
        """
        const real = window.fetch;
        window.fetch = async (...asked) => { // it arrives, and its answer is lost
          if (asked[1]?.method !== 'POST') return real(...asked);
          window.fetch = real;
          await real(...asked);
          throw new TypeError('lost');
        };
        const d = document.querySelector('[data-kind=water-change]');
        d.open = true;
        d.querySelector('input').value = '111';
        d.querySelector('input').dispatchEvent(new Event('input', { bubbles: true }));
        d.querySelector('button').click();
        return true;
        """);
    browser.until("it is said", () -> browser.text("#trouble").contains("cannot be reached"));
    browser.run(
        "const d = document.querySelector('[data-kind=water-change]');"
            + " d.querySelector('input').value = '112';d.querySelector('input').dispatchEvent(new"
            + " Event('input', { bubbles: true }));d.querySelector('button').click(); return"
            + " true;");

    browser.until("it is kept", () -> browser.text("#done").equals("Holding 2: kept."));
    assertThat(browser.text("#work")).contains("changed 111 L", "changed 112 L");
  }

  @Test
  void waterAndTemperature_areTypedAndReadInThisDevicesUnits() {
    browser.run(
        "localStorage.setItem('opercle-unit-volume', 'gal (UK)');"
            + "localStorage.setItem('opercle-unit-temperature', '°F'); return true;");
    look();
    assertThat(browser.text("[data-kind=water-test]")).doesNotContain("°C");
    browser.run(
        "const d = document.querySelector('[data-kind=water-change]'); d.open = true;"
            + "d.querySelector('input').value = '100'; d.querySelector('button').click();"
            + "return true;");

    browser.until(
        "it is kept as litres, and shown in gallons",
        () -> browser.text("#work").contains("changed 100 gal (UK) of water"));
    browser.run(
        "localStorage.removeItem('opercle-unit-volume');"
            + "localStorage.removeItem('opercle-unit-temperature'); return true;");
    look();
    assertThat(browser.text("#work")).contains("changed 454.6 L of water");
  }

  @Test
  void medicineInATransportTank_hasAForm() {
    go("/holding?tank=t1");
    browser.until("the tank", () -> browser.text("#work-tank").equals("Trailer tank"));
    assertThat(browser.find("#reckon-part").isDisplayed()).isFalse();
    browser.run(
        "const d = document.querySelector('[data-kind=treatment]'); d.open = true;"
            + "const [what, amount, reason] = d.querySelectorAll('input');"
            + "what.value = 'A bath'; amount.value = '5 mL'; reason.value = 'tufts';"
            + "d.querySelector('input[type=date]').value = '2026-03-30';"
            + "d.querySelector('button').click(); return true;");

    browser.until("it runs there", () -> browser.text("#running").contains("A bath, given"));
  }

  @Test
  void checkByHand_onTheTanksOwnPage_isKept_andShown() throws Exception {
    browser.phone();
    go("/tank/h1");
    browser.until("the tank", () -> browser.text("h1").equals("Holding 1"));
    browser.run("document.querySelector('#hand-check summary').click(); return true;");
    browser.run(
        "document.getElementById('hand-fish').value = 'restless';"
            + "document.getElementById('hand-oxygen').value = '8,2';"
            + "document.getElementById('hand-water').value = '11.5'; return true;");
    browser.run(
        "const f = document.querySelector('#hand-check form'); f.scrollIntoView();"
            + "f.querySelector('button').click(); return true;");

    browser.until(
        "it is kept, and shown",
        () ->
            browser
                .text("#hand-made")
                .contains("Maren. Holding 1: fish restless, oxygen 8.2 mg/L, water 11.5 °C"));
    assertThat(browser.find("#done .trouble").isDisplayed()).isFalse();
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
    Files.createDirectories(Path.of("target", "pages"));
    Files.write(Path.of("target", "pages", "tank-hand-check-phone.png"), browser.picture());
    browser.run(
        "document.getElementById('hand-fish').value = 'gasping';"
            + "document.querySelector('#hand-check form button').click(); return true;");
    browser.until(
        "it says what to do", () -> browser.text("#done .trouble").startsWith("Give more gas now"));
  }

  @Test
  void theTanksOwnPage_hasItToo() {
    go("/tank/h2");
    browser.until("what built up", () -> !browser.all("#holding dl div").isEmpty());

    assertThat(browser.text("#holding"))
        .contains("Held", "Density", "Its poisonous part", "as the vet said");
  }

  @Test
  void figureThatCannotBe_isSaidInTheWordsOfTheForm() {
    look();
    browser.run(
        "const d = document.querySelector('[data-kind=hand-check]'); d.open = true;"
            + "d.querySelector('select').value = 'restless';"
            + "d.querySelectorAll('input')[1].value = '60';"
            + "d.querySelector('.row button').click(); return true;");
    browser.until(
        "it is refused",
        () -> browser.text("#trouble").equals("Not done. Water by hand meter: must be -2–45 °C."));

    browser.run(
        "document.querySelector('#salt input').value = '50';"
            + "document.getElementById('dose').click(); return true;");
    browser.until(
        "so is what is asked",
        () -> browser.text("#trouble").equals("Not done. Wanted: must be 0–35 g/L."));
    assertThat(browser.complaints()).isNotNull(); // of the two answers that refuse
  }

  @Test
  void answerThatHasGrownOld_isNoAnswer() {
    look();
    assertThat(browser.find("#old").isDisplayed()).isFalse();

    browser.run("const now = Date.now; Date.now = () => now() + 200000; return true;");

    browser.until("it says so", () -> browser.text("#old").contains("was read 3 min ago"));
    assertThat(browser.find("main").getDomAttribute("data-stale")).isEqualTo("true");
    PageChecks.accessible(browser);
  }
}
