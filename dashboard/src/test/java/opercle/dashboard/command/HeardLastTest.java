// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.stream.Stream;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.publish.Topics;
import opercle.analysis.setup.FarmMessages;
import opercle.analysis.setup.TopicMessages;
import opercle.dashboard.monitor.KeptLeg;
import opercle.ingest.mqtt.TopicListener;
import opercle.ingest.payload.TopicMapping;
import opercle.ingest.reading.Quantity;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What an ingest heard of tanks and topics is known at its next start, before it hears anew. */
class HeardLastTest {

  private static final Topics TOPICS = new Topics("Sallowmere");
  private static final TopicMapping MAPPING =
      TopicMapping.of("shed/probe7", "h1", Quantity.OXYGEN, "/mgL");

  @TempDir Path parent;

  private Path folder() {
    return parent.resolve("data");
  }

  private static Farm farm(String... tanks) {
    StringBuilder yaml = new StringBuilder("farm: Sallowmere\ntanks:\n");
    Stream.of(tanks)
        .forEach(
            tank ->
                yaml.append("  - id: ")
                    .append(tank)
                    .append("\n    kind: holding\n    waterLitres: 1500\n    supply: ")
                    .append("{ gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }")
                    .append('\n'));
    return FarmReader.parse("farm.yaml", yaml.toString());
  }

  private static TopicListener.Message told(Farm farm) {
    FarmVersion version = new FarmVersion(7, farm, Instant.EPOCH, "Robin", List.of());
    return new TopicListener.Message(
        TOPICS.farmNow(), Services.bytes(FarmMessages.version(version)), true);
  }

  private static TopicListener.Message told(TopicMapping... mappings) {
    return new TopicListener.Message(
        TOPICS.assignedTopics(), Services.bytes(TopicMessages.of(List.of(mappings))), true);
  }

  private HeardFarm startedFarm() {
    return HeardFarm.keptIn(folder(), farm("h1", "h2"));
  }

  private HeardTopics startedTopics() {
    return new HeardTopics(List.of("Sallowmere"), folder());
  }

  @Test
  void tankThatWasSetUpOnThePages_isKnownAtTheNextStart_asAreTheFiles() throws IOException {
    Files.createDirectories(folder());
    HeardFarm first = startedFarm();
    assertThat(first.hasTank("h9")).isFalse();
    first.heard(told(farm("h1", "h9")));
    assertThat(first.hasTank("h2")).as("it was taken out").isFalse();

    HeardFarm next = startedFarm();
    assertThat(Stream.of("h1", "h2", "h9")).as("until it hears").allMatch(next::hasTank);
    assertThat(next.version().number()).as("nothing was heard yet").isZero();

    next.heard(told(farm("h1")));
    assertThat(next.hasTank("h9")).isFalse();
    assertThat(startedFarm().hasTank("h9")).isFalse();
  }

  @Test
  void aFarmThatIsOnlyWaitedFor_isKeptNowhere() throws IOException {
    Files.createDirectories(folder());
    new HeardFarm(farm("h1")).heard(told(farm("h1", "h9")));
    assertThat(startedFarm().hasTank("h9")).isFalse();
  }

  @Test
  void whatCouldNotBeKept_isKeptWhenItIsToldAgain_thoughItSaysNothingNew() throws IOException {
    HeardTopics topics = startedTopics();
    HeardFarm farm = startedFarm();
    topics.heard(told(MAPPING)); // there is no folder to write to
    farm.heard(told(farm("h9")));
    assertThat(topics.mappings()).containsExactly(MAPPING);
    assertThat(startedTopics().mappings()).isEmpty();

    Files.createDirectories(folder());
    topics.heard(told(MAPPING));
    farm.heard(told(farm("h9")));
    assertThat(startedTopics().mappings()).containsExactly(MAPPING);
    assertThat(startedFarm().hasTank("h9")).isTrue();
  }

  @Test
  void emptyOrDamagedFile_isNoLongerThereOnceItIsToldAnew() throws IOException {
    Files.createDirectories(folder());
    startedTopics().heard(told(MAPPING));
    for (String damage : List.of("", "{\"topics\":[")) {
      Files.writeString(onlyFile(), damage);
      HeardTopics topics = startedTopics();
      assertThat(topics.mappings()).isEmpty();
      assertThat(topics.damages())
          .singleElement()
          .matches(d -> !d.isMended())
          .extracting(KeptLeg.Damage::words)
          .isEqualTo(
              "The list of probes assigned to tanks that it had kept was damaged on its own disk, or could not be read there; some readings may have been turned away.");
      topics.heard(told(MAPPING));
      assertThat(topics.damages()).singleElement().matches(KeptLeg.Damage::isMended);
      assertThat(startedTopics().mappings()).containsExactly(MAPPING);
    }
  }

  private Path onlyFile() throws IOException {
    try (Stream<Path> files = Files.list(folder())) {
      List<Path> all = files.toList();
      assertThat(all).hasSize(1);
      return all.get(0);
    }
  }
}
