// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import opercle.analysis.book.FarmBook;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Holding in a real browser. */
class HoldingPageTest {

  @TempDir private static Path folder;
  private static FarmBook book;
  private static DashboardServer server;
  private static Browser browser;

  @BeforeAll
  static void open() {
    book = FarmBook.open(folder.resolve("book.db"));
    FakeFarm farm = FakeFarm.quiet();
    server =
        DashboardServer.start(
            DashboardSettings.onLoopback(0),
            farm,
            new FakeTraces(),
            PastAlarms.NONE,
            Optional.empty(),
            List.of(KeptHolding.in(book, farm, PastAlarms.NONE)));
    browser = Browser.open();
    go("/holding?tank=h2");
    browser.run("localStorage.setItem('opercle-name', 'Maren'); return true;");
  }

  @AfterAll
  static void close() {
    browser.close();
    server.close();
    book.close();
  }

  private static void go(String path) {
    browser.go("http://127.0.0.1:" + server.port() + path);
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
    assertThat(tank).contains("withdrawal period to 2026-03-30, as the vet said");
    assertThat(browser.text("#work")).contains("A bath against fungus, 20 mL");
  }

  @Test
  void salt_isReckoned_writtenDown_andCounts() {
    look();
    browser.run(
        "document.querySelector('#salt input').value = '2';"
            + "document.getElementById('dose').click(); return true;");
    browser.until("a dose", () -> browser.text("#answer").contains("of salt takes"));
    assertThat(browser.text("#answer")).contains("vet", "conductivity probe");

    browser.run(
        "const d = document.querySelector('[data-kind=salt]'); d.open = true;"
            + "d.querySelector('input').value = '3'; d.querySelector('button').click(); return true;");
    browser.until("it is kept", () -> browser.text("#done").equals("Holding 2: kept."));
    assertThat(browser.text("#work li:first-child")).contains("3 kg of salt");
    browser.until(
        "it counts", () -> !browser.text(".holding-tank[data-tank=h2]").contains("salt 0.0 g/L"));
  }

  @Test
  void theTanksOwnPage_hasItToo() {
    go("/tank/h2");
    browser.until("what built up", () -> !browser.all("#holding dl div").isEmpty());

    assertThat(browser.text("#holding"))
        .contains("Held", "Density", "Its poisonous part", "as the vet said");
  }
}
