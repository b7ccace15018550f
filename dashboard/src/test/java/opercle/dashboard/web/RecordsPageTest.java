// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.List;
import opercle.analysis.book.FarmBook;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The records in a real browser. */
class RecordsPageTest extends InTheBrowser {

  @TempDir private static Path folder;
  private static FarmBook book;

  @BeforeAll
  static void open() {
    book = closing(FarmBook.open(folder.resolve("book.db")));
    serve(FakeFarm.quiet(), PastAlarms.NONE, List.of(new KeptRecords(book).api()));
  }

  @AfterEach
  void forget() {
    browser.run("localStorage.clear(); return true;");
  }

  private static void look() {
    go("/records");
    browser.until("the movements", () -> browser.all("#movements li").size() > 1);
  }

  /** As typed: the value, and the event that follows it. */
  private static void fill(String label, String value) {
    browser
        .driver()
        .executeScript(
            "const l = [...document.querySelectorAll('#movement label')].find((x) => x.textContent === arguments[0]);"
                + "const i = document.getElementById(l.htmlFor); i.value = arguments[1];"
                + "i.dispatchEvent(new Event('input', { bubbles: true }));",
            label,
            value);
  }

  private static String value(String label) {
    return String.valueOf(
        browser
            .driver()
            .executeScript(
                "const l = [...document.querySelectorAll('#movement label')].find((x) => x.textContent === arguments[0]);"
                    + "return document.getElementById(l.htmlFor).value;",
                label));
  }

  @Test
  void whatRunsOut_comesSoonestFirst() {
    look();

    assertThat(browser.text("#ends li:first-child"))
        .startsWith("20 Mar 2026: supplier permit SU-3")
        .contains("6 days left");
    assertThat(browser.all("#movement input:checked")).as("nothing is ticked").isEmpty();
  }

  @Test
  void halfFilledMovement_isStillThere_andItsPromptsComeBeforeItIsKept() {
    look();
    fill("Kind of fish", "Tench");
    fill("How many", "12");
    fill("From", KeptRecords.STEW);
    fill("To", KeptRecords.LONG_WATER);
    look();
    browser.until("the draft", () -> value("How many").equals("12"));
    assertThat(value("To")).isEqualTo(KeptRecords.LONG_WATER);

    fill("Leaving", "2026-03-12T08:00");
    fill("Arriving", "2026-03-12T09:30");
    assertThat(browser.find("#keep").isDisplayed()).isFalse();
    browser.find("#look").click();
    browser.until("the prompts", () -> browser.find("#keep").isDisplayed());
    assertThat(browser.text("#prompts")).contains("No site permit for Long Water is named.");

    browser.run("localStorage.setItem('opercle-name', 'Maren'); return true;");
    look();
    browser.until("the draft again", () -> value("How many").equals("12"));
    browser.find("#look").click();
    browser.until("the prompts again", () -> browser.find("#keep").isDisplayed());
    browser.find("#keep").click();
    browser.until("it is kept", () -> browser.text("#done").equals("Kept."));
    assertThat(browser.text("#movements li:first-child")).contains("12 Tench", "recorded by Maren");
    assertThat(value("How many")).isEmpty();
  }

  @Test
  void paperWrittenWrong_isCorrected_andBothStayReadable() {
    look();
    browser.run("localStorage.setItem('opercle-name', 'Maren'); return true;");
    look();
    String known =
        "const li = [...document.querySelectorAll('#known li')].find((x) => x.textContent.includes('SU-3'));";
    browser.run(
        known
            + "[...li.querySelectorAll('button')].find((b) => b.textContent === 'Correct').click();"
            + "return true;");
    browser.until("why", () -> !browser.all("#why").isEmpty());
    browser.find("#why").sendKeys("number misread");
    browser.find("dialog [type=submit]").click();
    String form =
        "const part = [...document.querySelectorAll('#others details')].find((x) => x.open);"
            + "const label = [...part.querySelectorAll('label')].find((x) => x.textContent === 'Number on it');"
            + "const input = document.getElementById(label.htmlFor);";
    browser.until(
        "the form",
        () ->
            Boolean.TRUE.equals(
                browser.run(form + "return part.textContent.includes('This corrects');")));
    assertThat(String.valueOf(browser.run(form + "return part.textContent;")))
        .contains("This corrects", "number misread");

    browser.run(
        form
            + "input.value += ' (looked at again)'; input.dispatchEvent(new Event('input', { bubbles: true }));"
            + "[...part.querySelectorAll('button')].find((b) => b.textContent === 'Keep').click();"
            + "return true;");
    browser.until("it is kept", () -> browser.text("#done").equals("Kept."));
    String kept =
        String.valueOf(
            browser.run(known + "li.querySelector('details').open = true; return li.innerText;"));
    assertThat(kept)
        .contains("2 versions", "SU-3 (looked at again)", "corrected: number misread")
        .contains("Number on it: SU-3 → SU-3 (looked at again)");
  }

  @Test
  void trace_isATable() {
    look();

    browser
        .driver()
        .executeScript(
            "[...document.querySelectorAll('#movements li')].find((x) => x.textContent.includes('118 Common carp'))"
                + ".querySelector('.row button').click();");

    browser.until("the trace", () -> browser.find("#trace-part").isDisplayed());
    assertThat(browser.text("#trace-words"))
        .contains("118 fish followed.", "Not known from where: about 18.");
    assertThat(browser.text("#trace-ends")).contains("Stew 2: about 100 Common carp");
  }
}
