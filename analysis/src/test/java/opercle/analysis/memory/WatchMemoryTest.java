// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.memory;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.Logger;
import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.core.read.ListAppender;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.stream.Stream;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.watch.FarmWatch;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.slf4j.LoggerFactory;

class WatchMemoryTest {

  private static final Instant START = Instant.parse("2026-03-14T02:00:00Z");
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
              load: { species: tench, kg: 55, count: 70 }
          """);

  private final ListAppender<ILoggingEvent> logged = new ListAppender<>();

  @TempDir Path folder;
  private WatchMemory memory;

  @BeforeEach
  void open() throws IOException {
    memory = WatchMemory.in(folder.resolve("data"));
    logged.start();
    logger().setLevel(Level.WARN);
    logger().addAppender(logged);
  }

  @AfterEach
  void detach() {
    logger().detachAppender(logged);
  }

  private static Logger logger() {
    return (Logger) LoggerFactory.getLogger(MemoryFile.class);
  }

  private Path learned() {
    return folder.resolve("data/watch-learned.json");
  }

  private Path alarms() {
    return folder.resolve("data/watch-alarms.json");
  }

  /** Oxygen below the keep floor, acknowledged. */
  private static FarmWatch watchInTrouble() {
    FarmWatch watch = new FarmWatch(FARM);
    for (int s = 0; s < 100; s++) {
      var unused = watch.accept(new Reading("h1", Quantity.OXYGEN, "1", START.plusSeconds(s), 4.5));
    }
    var unused = watch.acknowledge("h1", AlarmCause.OXYGEN_LOW, "Robin", START.plusSeconds(100));
    return watch;
  }

  private static AlarmEvent event(int second) {
    FarmWatch watch = new FarmWatch(FARM);
    Instant time = START.plusSeconds(second);
    var unused = watch.accept(new Reading("h1", Quantity.OXYGEN, "1", time, 4.5));
    return watch.accept(new Reading("h1", Quantity.OXYGEN, "1", time.plusMillis(1), 4.5)).get(0);
  }

  private static WatchMemory.Alarms now(FarmWatch watch, AlarmEvent... untold) {
    return new WatchMemory.Alarms(watch.alarms(), List.of(untold));
  }

  @Test
  void nothingSaved_isNothingRemembered_andNothingToComplainOf() {
    assertThat(memory.learned()).isEmpty();
    assertThat(memory.alarms()).isEmpty();
    assertThat(logged.list).isEmpty();
  }

  @Test
  void alarmsAndUntoldEvents_comeBackEqual() throws IOException {
    FarmWatch watch = watchInTrouble();
    AlarmEvent untold = event(3);
    memory.saveAlarms(START, 1, now(watch, untold));

    Remembered<WatchMemory.Alarms> read =
        WatchMemory.in(folder.resolve("data")).alarms().orElseThrow();

    assertThat(read).isEqualTo(new Remembered<>(START, now(watch, untold)));
    FarmWatch restored = new FarmWatch(FARM);
    restored.restoreAlarms(read.what().standing());
    assertThat(restored.standing()).isEqualTo(watch.standing()).isNotEmpty();
  }

  @Test
  void olderAlarms_neverReplaceNewerOnes() throws IOException {
    memory.saveAlarms(START.plusSeconds(2), 2, now(watchInTrouble()));
    memory.saveAlarms(START.plusSeconds(1), 1, now(new FarmWatch(FARM)));

    assertThat(memory.alarms().orElseThrow().at()).isEqualTo(START.plusSeconds(2));
  }

  @Test
  void fileCutShortAnywhere_isMovedAsideWithOneLine() throws IOException {
    memory.saveLearned(START, watchInTrouble().snapshot());
    byte[] whole = Files.readAllBytes(learned());

    for (int length = 0; length < whole.length; length += 97) {
      logged.list.clear();
      Files.write(learned(), java.util.Arrays.copyOf(whole, length));
      assertThat(memory.learned()).as("cut at %d", length).isEmpty();
      assertThat(logged.list)
          .singleElement()
          .satisfies(
              l -> assertThat(l.getFormattedMessage()).contains("is damaged").doesNotContain("\n"));
      assertThat(learned()).doesNotExist();
      assertThat(learned().resolveSibling("watch-learned.json.damaged")).exists();
    }
  }

  /** As one of another owner; a folder in its place is unreadable to any user. */
  @Test
  void fileThatCannotBeRead_isNotCalledDamaged_norMoved() throws IOException {
    Files.createDirectories(learned());

    assertThat(memory.learned()).isEmpty();

    assertThat(logged.list)
        .singleElement()
        .satisfies(
            l ->
                assertThat(l.getFormattedMessage())
                    .contains("could not be read", "its rights")
                    .doesNotContain("damaged"));
    assertThat(learned()).exists();
    assertThat(memory.damages()).hasSize(1);
  }

  @Test
  void fileWithAnyByteChanged_isNeverTakenForWhatWasSaved() throws IOException {
    FarmWatch.Snapshot saved = watchInTrouble().snapshot();
    memory.saveLearned(START, saved);
    byte[] whole = Files.readAllBytes(learned());
    Random random = new Random(1);

    for (int i = 0; i < 300; i++) {
      byte[] garbled = whole.clone();
      garbled[random.nextInt(garbled.length)] ^= (byte) (1 << random.nextInt(8));
      Files.write(learned(), garbled);
      Optional<FarmWatch.Snapshot> read = memory.learned().map(Remembered::what);
      // A changed byte in the first line may leave its meaning; what it describes is then whole.
      assertThat(read.isEmpty() || read.get().equals(saved)).isTrue();
    }
  }

  @Test
  void learningOfAnotherVersion_isDropped_butItsAlarmsStand() throws IOException {
    FarmWatch watch = watchInTrouble();
    memory.saveLearned(START, watch.snapshot());
    memory.saveAlarms(START, 1, now(watch));
    asOfAnotherVersion(learned());
    asOfAnotherVersion(alarms());

    assertThat(memory.learned()).isEmpty();
    assertThat(logged.list)
        .singleElement()
        .extracting(ILoggingEvent::getFormattedMessage)
        .asString()
        .contains("another version of Opercle", "the alarms stay");
    assertThat(learned()).as("not damaged, so not moved").exists();
    assertThat(memory.alarms().orElseThrow().what().standing()).isEqualTo(watch.alarms());
  }

  private static void asOfAnotherVersion(Path file) throws IOException {
    String text = Files.readString(file);
    Files.writeString(
        file, text.replaceFirst("\"shape\":\"[0-9a-f]+\"", "\"shape\":\"00c0ffee00c0ffee\""));
  }

  @Test
  void saveThatIsInterrupted_leavesTheEarlierOne() throws IOException {
    FarmWatch.Snapshot saved = watchInTrouble().snapshot();
    memory.saveLearned(START, saved);
    // What a killed process leaves: part of the next file, under its other name.
    Files.writeString(learned().resolveSibling("watch-learned.json.new"), "{\"format\":1,");

    assertThat(memory.learned().orElseThrow().what()).isEqualTo(saved);
    memory.saveLearned(START.plusSeconds(1), saved);
    try (Stream<Path> files = Files.list(learned().getParent())) {
      assertThat(files).containsExactly(learned());
    }
  }

  @Test
  void folderThatCannotBeWritten_isAnErrorOfTheSave() throws IOException {
    Files.writeString(folder.resolve("taken"), "", StandardCharsets.UTF_8);

    assertThatThrownBy(() -> WatchMemory.in(folder.resolve("taken")))
        .isInstanceOf(IOException.class);
  }
}
