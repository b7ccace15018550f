// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalInt;
import opercle.analysis.book.FarmBook;
import opercle.analysis.calling.Delivery;
import opercle.analysis.calling.Target;
import opercle.ingest.settings.UnusableInputException;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What becomes of who is called over restarts, when pages and a hand have both changed it. */
class PeopleDeskTest {

  private static final String MAREN = "people: [ { name: Maren, channels: [ push ] } ]";

  @TempDir Path folder;
  private FarmBook book;

  @BeforeEach
  void open() {
    book = FarmBook.open(FarmBook.fileIn(folder));
  }

  @AfterEach
  void close() {
    book.close();
  }

  private PeopleDesk started(String people) {
    return PeopleDesk.open(
        book, KeptPeople.read(folder, people), "opercle.yaml", folder, () -> Made.NIGHT);
  }

  private static List<String> called(PeopleDesk desk) {
    return desk.settings().called().stream()
        .map(p -> p.name() + " " + String.join(",", p.channels().keySet()))
        .toList();
  }

  private static long put(PeopleDesk desk, long basedOn, Optional<String> name, String person)
      throws Exception {
    return desk.describe(
        basedOn,
        "Ines",
        name,
        new ObjectMapper().readTree(person.replace('\'', '"')),
        OptionalInt.empty());
  }

  @Test
  void whatWasSetUpOnThePages_isThereAfterARestart() throws Exception {
    put(started(MAREN), 1, Optional.empty(), "{'name':'Tomas','channels':['push']}");

    assertThat(called(started(MAREN))).containsExactly("Maren push", "Tomas push");
  }

  @Test
  void whatAHandChangesInTheFile_counts_andTheRestIsAsThePagesLeftIt() throws Exception {
    PeopleDesk desk = started(MAREN);
    put(desk, 1, Optional.empty(), "{'name':'Tomas','channels':['push']}");
    put(desk, 2, Optional.of("Maren"), "{'name':'Maren','channels':[{'mail':'m@example.org'}]}");

    PeopleDesk again =
        started(
            "people: [ { name: Ines, channels: [ push ] }, { name: Maren, channels: [ push ] } ]");
    assertThat(called(again)).containsExactly("Ines push", "Maren mail", "Tomas push");

    assertThat(called(started("people: [ { name: Ines, channels: [ push ] } ]")))
        .containsExactly("Ines push", "Tomas push");
  }

  @Test
  void keyThatIsTyped_isInAFileOfItsOwn_andNotInTheBook() throws Exception {
    PeopleDesk desk = started(MAREN);
    put(
        desk,
        1,
        Optional.empty(),
        "{'name':'Tomas','channels':[{'webhook':{'url':'https://x.example.org','secret':'pike'}}]}");

    assertThat(new PeopleBook(book).newest(1).get(0).text()).doesNotContain("pike");
    try (var files = Files.list(folder.resolve("webhook-keys"))) {
      Path key = files.findFirst().orElseThrow();
      assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(key)))
          .isEqualTo("rw-------");
    }
    CallingSettings.Way way = started(MAREN).settings().called().get(1).ways().get(0);
    assertThat(way)
        .isInstanceOfSatisfying(
            CallingSettings.Way.Webhook.class,
            w -> assertThat(w.settings().secret()).contains("pike"));
    assertThat(way.toString()).doesNotContain("pike");
  }

  @Test
  void keyThatIsGone_breaksItsWayAlone_andIsTypedAnew() throws Exception {
    PeopleDesk desk = started(MAREN);
    String tomas =
        "{'name':'Tomas','channels':[{'webhook':{'url':'https://x.example.org','secret':'pike'}},"
            + "'push']}";
    put(desk, 1, Optional.empty(), tomas);
    try (var files = Files.list(folder.resolve("webhook-keys"))) {
      Files.delete(files.findFirst().orElseThrow());
    }

    PeopleDesk again = started(MAREN);
    assertThat(called(again)).containsExactly("Maren push", "Tomas webhook,push");
    Channel broken =
        Objects.requireNonNull(
            again
                .settings()
                .channels(() -> Made.NIGHT, message -> Delivery.failed("no device"))
                .get(new Target("Tomas", "webhook")));
    assertThat(broken.deliver(Made.message()))
        .isInstanceOfSatisfying(
            Delivery.Failed.class,
            failed -> {
              assertThat(failed.reason()).contains("cannot be read", "type its key anew");
              assertThat(failed.reason()).doesNotContain("pike");
            });

    put(again, 2, Optional.of("Tomas"), tomas);
    assertThat(started(MAREN).settings().ways().get(new Target("Tomas", "webhook")))
        .isInstanceOfSatisfying(
            CallingSettings.Way.Webhook.class, w -> assertThat(w.broken()).isEmpty());
  }

  @Test
  void nobodyInTheFile_isFine_andTheFirstOneIsAddedOnThePages() throws Exception {
    PeopleDesk desk = started("");
    assertThat(called(desk)).isEmpty();

    put(desk, 1, Optional.empty(), "{'name':'Tomas','channels':['push']}");
    assertThat(called(desk)).containsExactly("Tomas push");
  }

  @Test
  void mailThatNoServerTakesAnyMore_isSaidAtTheStart() throws Exception {
    put(
        started(MAREN),
        1,
        Optional.of("Maren"),
        "{'name':'Maren','channels':[{'mail':'m@example.org'}]}");
    CallingSettings noMail = KeptPeople.read(folder, MAREN);
    CallingSettings without =
        new CallingSettings(
            noMail.plan(), noMail.called(), Optional.empty(), folder, Optional.empty());

    assertThatThrownBy(
            () -> PeopleDesk.open(book, without, "opercle.yaml", folder, () -> Made.NIGHT))
        .isInstanceOf(UnusableInputException.class)
        .hasMessageContaining("people[0].channels[0].mail: needs a mail server");
  }
}
