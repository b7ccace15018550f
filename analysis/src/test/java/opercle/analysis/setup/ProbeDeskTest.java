// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.Logger;
import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.core.read.ListAppender;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.BookKind;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.MappingRecords;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.ingest.payload.TopicMapping;
import opercle.ingest.payload.UnknownTopics;
import opercle.ingest.reading.Quantity;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.slf4j.LoggerFactory;

class ProbeDeskTest {

  private static final InstantSource CLOCK =
      InstantSource.fixed(Instant.parse("2026-11-25T18:00:00Z"));
  private static final Farm FARM =
      FarmReader.parse(
          "farm.yaml",
          """
          farm: Sallowmere
          tanks:
            - id: h1
              kind: holding
              waterLitres: 1500
              supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
          """);

  private static final Logger LOGGER = (Logger) LoggerFactory.getLogger(ProbeDesk.class);

  @TempDir Path folder;
  private final ListAppender<ILoggingEvent> log = new ListAppender<>();
  private FarmBook book;
  private final UnknownTopics unknown = new UnknownTopics();

  BookKind kind() {
    return BookKind.SQLITE;
  }

  @BeforeEach
  void listen() {
    log.start();
    LOGGER.setLevel(Level.WARN); // the tests are quiet
    LOGGER.setAdditive(false);
    LOGGER.addAppender(log);
  }

  @AfterEach
  void leave() {
    LOGGER.detachAppender(log);
    LOGGER.setAdditive(true);
    LOGGER.setLevel(null);
  }

  @BeforeEach
  void open() {
    book = FarmBook.open(kind().place(folder));
  }

  @AfterEach
  void close() {
    book.close();
  }

  private ProbeDesk desk() {
    FarmDesk farm = FarmDesk.open(new FarmRecords(book), FARM, "farm.yaml", CLOCK);
    return new ProbeDesk(new MappingRecords(book), farm, unknown, CLOCK);
  }

  private static TopicMapping assign(ProbeDesk desk, String topic, String pointer, String tank) {
    return desk.assign(topic, pointer, tank, Quantity.OXYGEN, Optional.empty(), "Robin");
  }

  /** As a version before this one took them; a broker that refused one would take no other. */
  @Test
  void topicsOfAnEarlierVersion_thatNoBrokerTakes_areLeftOut_theOthersCount() {
    MappingRecords records = new MappingRecords(book);
    for (String topic : List.of("shed/+", "opercle/x", "shed/\u200b7", "shed/7", "shed/\ufffe")) {
      TopicMapping mapping =
          new TopicMapping(
              topic,
              "h1",
              Quantity.OXYGEN,
              "1",
              "",
              Optional.empty(),
              Optional.empty(),
              Optional.empty());
      records.assign(mapping, "Robin", CLOCK.instant());
    }
    List<TopicMapping> followed = new ArrayList<>();

    ProbeDesk desk = desk();
    desk.follow(followed::addAll);

    assertThat(followed).extracting(TopicMapping::topicFilter).containsExactly("shed/7");
    assertThat(desk.assigned()).hasSize(1);
    assertThat(log.list).as("each is logged at the start").hasSize(4);
    assign(desk, "shed/8", "", "h1");
    assertThat(desk.assigned()).hasSize(2);
    assertThat(log.list).as("and not at each change").hasSize(4);
    assertThat(ProbeDesk.inForce(records)).hasSize(2);
  }

  @Test
  void assigned_isUsedAtOnce_noLongerUnknown_andStillThereAfterAnotherStart() {
    unknown.heard("shed/probe 7", "8.6".getBytes(StandardCharsets.UTF_8), CLOCK.instant());
    ProbeDesk desk = desk();
    List<List<TopicMapping>> told = new ArrayList<>();
    desk.follow(told::add);

    TopicMapping mapping = assign(desk, "shed/probe 7", "", "h1");

    assertThat(mapping.probe()).isEqualTo("shed.probe-7");
    assertThat(told).containsExactly(List.of(), List.of(mapping));
    assertThat(desk.unknown()).isEmpty();
    assertThat(desk().assigned())
        .containsExactly(new MappingRecords.Assigned(mapping, "Robin", CLOCK.instant()));
  }

  @Test
  void takenBack_isUsedNoLonger_norAfterAnotherStart() {
    ProbeDesk desk = desk();
    assign(desk, "shed/probe7", "/do", "h1");
    TopicMapping other = assign(desk, "shed/probe7", "/t", "h1");

    desk.takeBack("shed/probe7", "/do", "Robin");

    assertThat(desk.assigned()).extracting(MappingRecords.Assigned::mapping).containsExactly(other);
    assertThat(desk().assigned()).hasSize(1);
  }

  @Test
  void noSuchTank_andWhatIsNoProbesTopic_areRefused() {
    ProbeDesk desk = desk();

    assertThatExceptionOfType(RefusedActException.class)
        .isThrownBy(() -> assign(desk, "shed/probe7", "", "h9"))
        .withMessage("This farm has no such tank; it may have been taken out.");
    assertThatExceptionOfType(RefusedActException.class)
        .isThrownBy(() -> assign(desk, "shed/#", "", "h1"));
    assertThatExceptionOfType(RefusedActException.class)
        .isThrownBy(() -> assign(desk, "shed/probe7", "do", "h1"))
        .withMessageContaining("is not a JSON Pointer");
    assertThat(desk.assigned()).isEmpty();
  }

  /** A filter that the broker refuses would keep the whole front door shut. */
  @ParameterizedTest
  @ValueSource(
      strings = {
        "$share/x/shed",
        "$SYS/uptime",
        "opercle/sallowmere/farm",
        "shed\u0000probe",
        "  "
      })
  void topicThatABrokerWouldRefuse_isRefusedHere(String topic) {
    ProbeDesk desk = desk();

    assertThatExceptionOfType(RefusedActException.class)
        .isThrownBy(() -> assign(desk, topic, "", "h1"));
    assertThat(desk.assigned()).isEmpty();
  }

  @Test
  void oneTopicWithTwoValues_hasBothAssigned() {
    unknown.heard(
        "shed/box", "{\"do\":8,\"temp\":12}".getBytes(StandardCharsets.UTF_8), CLOCK.instant());
    ProbeDesk desk = desk();

    assign(desk, "shed/box", "/do", "h1");

    assertThat(desk.unknown()).as("the other value is still there to assign").isNotEmpty();
  }

  @Test
  void topicsWhoseNamesComeOutAlike_areTwoProbes() {
    ProbeDesk desk = desk();

    String slash = assign(desk, "a/b", "", "h1").probe();
    String dot = assign(desk, "a.b", "", "h1").probe();

    assertThat(slash).isEqualTo("a.b");
    assertThat(dot).startsWith("a.b-").isNotEqualTo(slash);
    assertThat(assign(desk, "a/b", "", "h1").probe()).as("assigned again").isEqualTo(slash);
  }
}
