// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.nio.file.Path;
import java.time.Instant;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.farm.Farm;
import opercle.analysis.publish.Topics;
import opercle.analysis.setup.FarmMessages;
import opercle.dashboard.monitor.KeptLeg;
import opercle.ingest.mqtt.TopicListener;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The farm in force as the watch, which runs apart, tells it; until it does, as the file describes
 * it. For any thread.
 */
final class HeardFarm {

  private static final Logger log = LoggerFactory.getLogger(HeardFarm.class);

  private final Topics topics;
  private final Optional<KeptMessage> kept;
  private volatile FarmVersion version;
  private volatile Set<String> tankIds;

  /** One that waits to be told. */
  HeardFarm(Farm file) {
    this(file, Optional.empty());
  }

  /**
   * One that knows, besides the file's tanks, those that it heard of last: what the broker holds
   * for them when a run begins comes in before the farm is told anew.
   */
  static HeardFarm keptIn(Path dataFolder, Farm file) {
    String topic = new Topics(file.name()).farmNow();
    KeptMessage last =
        new KeptMessage(
            dataFolder,
            topic,
            "which tanks there are",
            "The list of tanks that it had kept was damaged on its own disk, or could not be read there; some readings may have been turned away.");
    return new HeardFarm(file, Optional.of(last));
  }

  private HeardFarm(Farm file, Optional<KeptMessage> kept) {
    this.topics = new Topics(file.name());
    this.version = new FarmVersion(0, file, Instant.EPOCH, "", List.of());
    this.kept = kept;
    Set<String> known = new HashSet<>(file.tankIds());
    kept.flatMap(last -> last.read(FarmMessages::version))
        .ifPresent(last -> known.addAll(last.farm().tankIds()));
    this.tankIds = known;
  }

  /** Where it is told. */
  String topic() {
    return topics.farmNow();
  }

  /** A message on {@link Topics#farmNow()}. */
  synchronized void heard(TopicListener.Message message) {
    if (message.topic().equals(topics.farmNow()) && message.payload().length > 0) {
      FarmMessages.version(message.payload())
          .ifPresent(
              now -> {
                kept.ifPresent(last -> last.keep(message.payload()));
                take(now);
              });
    }
  }

  private void take(FarmVersion now) {
    if (now.number() != version.number()) {
      log.info("the farm is as version {} describes it, by {}", now.number(), now.by());
    }
    version = now;
    tankIds = now.farm().tankIds();
  }

  /** The version that was heard last; its number is 0 while none was. */
  FarmVersion version() {
    return version;
  }

  /** Whether what was kept of it could not be used. */
  Optional<KeptLeg.Damage> damage() {
    return kept.flatMap(KeptMessage::damage);
  }

  boolean hasTank(String id) {
    return tankIds.contains(id);
  }
}
