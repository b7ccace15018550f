// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.RecordBook;
import opercle.analysis.records.Entry;
import opercle.analysis.records.EntryFields;
import opercle.analysis.records.Recorded.Correction;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The records on a phone: fish followed both ways, and what was withdrawn kept in sight. */
class FollowPageTest extends InTheBrowser {

  @TempDir Path folder;
  private FarmBook book;
  private KeptRecords kept;

  @BeforeEach
  void open() {
    book = closing(FarmBook.open(folder.resolve("book.db")));
    kept = new KeptRecords(book);
    serve(FakeFarm.quiet(), PastAlarms.NONE, List.of(kept.api()));
    browser.phone();
    go("/records");
    browser.run("localStorage.setItem('opercle-name', 'Maren'); return true;");
  }

  private void look() {
    go("/records");
    browser.until("the waters", () -> browser.all("#follow option").size() > 2);
  }

  private void press(String css) {
    browser.run(
        "document.querySelector('" + css + "').scrollIntoView({ block: 'center' }); return true;");
    browser.find(css).click();
  }

  private void choose(String water, String species) {
    browser
        .driver()
        .executeScript(
            "const [select] = document.querySelectorAll('#follow select');"
                + "select.value = [...select.options].find((o) => o.text.startsWith(arguments[0])).value;"
                + "document.querySelector('#follow input').value = arguments[1];",
            water,
            species);
  }

  @Test
  void fishOfAWater_areFollowedBackAndOn() throws Exception {
    look();
    press("#follow-back");
    browser.until("which water?", () -> browser.text("#trouble").contains("Choose a water first"));

    choose("Long Water", "Common carp");
    press("#follow-back");
    browser.until("the way back", () -> browser.find("#trace-part").isDisplayed());
    assertThat(browser.text("#trace-heading"))
        .isEqualTo("Where the common carp of Long Water came from");
    assertThat(browser.text("#trace-ends")).contains("Stew 2", "first counted in there");

    choose("Stew 2", "");
    press("#follow-on");
    browser.until("the way on", () -> browser.text("#trace-heading").endsWith("went"));
    assertThat(browser.text("#trace-heading"))
        .isEqualTo("Where the fish of Stew 2, Sallowmere, ever, went");
    assertThat(browser.text("#trace-ends")).contains("Long Water", "there now by the books");
    PageChecks.everythingFits(browser);
    PageChecks.accessible(browser);
    Files.createDirectories(Path.of("target", "pages"));
    Files.write(Path.of("target", "pages", "records-follow-phone.png"), browser.picture());
  }

  @Test
  void movementThatNamesAWithdrawnPaper_isFlagged_andPutRightWithItInSight() {
    RecordBook records = new RecordBook(book, "Sallowmere");
    Map<String, Object> permit = Map.of("type", "supplier-permit", "reference", "SU-9");
    keep(records, "permit-twice", Entry.Kind.PERMIT, permit, Optional.empty());
    keep(
        records,
        "permit-gone",
        Entry.Kind.PERMIT,
        permit,
        Optional.of(new Correction("permit-twice", "typed twice", true)));
    keep(
        records,
        "move-odd-one",
        Entry.Kind.MOVEMENT,
        Map.of(
            "species",
            "Tench",
            "count",
            5,
            "from",
            KeptRecords.STEW,
            "to",
            KeptRecords.LONG_WATER,
            "departs",
            "2026-03-12T08:00:00Z",
            "arrives",
            "2026-03-12T09:00:00Z",
            "permits",
            List.of("permit-twice", "permit-farm")),
        Optional.empty());
    look();
    browser.until("the flag", () -> page().contains("It names supplier permit SU-9, which Maren"));
    assertThat(page()).doesNotContain("SU-9 (withdrawn)");

    browser.run(
        "[...document.querySelectorAll('#movements > li')].find((li) => li.textContent.startsWith('5 Tench'))"
            + ".querySelectorAll('button')[2].click(); return true;");
    browser.until("why", () -> !browser.all("#why").isEmpty());
    browser.find("#why").sendKeys("one more");
    browser.find("dialog .solid").click();
    browser.until("in the form", () -> page().contains("SU-9 (withdrawn)"));
    assertThat(browser.run("return document.querySelectorAll('#movement input:checked').length;"))
        .isEqualTo(2L);
    press("#look");
    browser.until("the flag again", () -> browser.text("#prompts").contains("it does not count"));
    press("#keep");
    browser.until("it is kept", () -> browser.text("#done").equals("Kept."));
    assertThat(
            records
                .records()
                .find(opercle.analysis.records.Movement.class, "move-odd-one")
                .orElseThrow()
                .entry()
                .papers()
                .permits())
        .containsExactlyInAnyOrder("permit-twice", "permit-farm");
  }

  private String page() {
    return String.valueOf(browser.run("return document.querySelector('main').textContent;"));
  }

  private static void keep(
      RecordBook records,
      String id,
      Entry.Kind kind,
      Map<String, ?> fields,
      Optional<Correction> correction) {
    RecordBook.Outcome outcome =
        records.keep(id, "Maren", FakeFarm.NIGHT, correction, EntryFields.read(kind, fields));
    assertThat(outcome).as(id).isInstanceOf(RecordBook.Outcome.Kept.class);
  }
}
