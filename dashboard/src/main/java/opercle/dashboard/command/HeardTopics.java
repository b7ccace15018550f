// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import opercle.analysis.publish.Topics;
import opercle.analysis.setup.TopicMessages;
import opercle.dashboard.monitor.KeptLeg;
import opercle.ingest.mqtt.TopicListener;
import opercle.ingest.payload.TopicMapping;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The topics that people assigned to tanks, as the processes that watch them tell it. What was
 * heard last is kept in the data folder: the broker may hold messages of those topics when the next
 * run begins, and whoever does not know the topics then would turn them away. For any thread.
 */
final class HeardTopics {

  private static final Logger log = LoggerFactory.getLogger(HeardTopics.class);

  /** By the topic on which it is told. */
  private final Map<String, List<TopicMapping>> heard = new LinkedHashMap<>();

  /** By the same. */
  private final Map<String, KeptMessage> kept = new HashMap<>();

  private Consumer<List<TopicMapping>> follower = mappings -> {};

  /**
   * Takes up what was heard last.
   *
   * @param farms those that are watched, by name
   */
  HeardTopics(List<String> farms, Path dataFolder) {
    for (String farm : farms) {
      String topic = new Topics(farm).assignedTopics();
      KeptMessage last =
          new KeptMessage(
              dataFolder,
              topic,
              "which topics feed which tank",
              "The list of probes assigned to tanks that it had kept was damaged on its own disk, or could not be read there; some readings may have been turned away.");
      kept.put(topic, last);
      heard.put(topic, last.read(TopicMessages::read).orElse(List.of()));
    }
  }

  /** Where it is told. */
  List<String> topics() {
    return List.copyOf(heard.keySet());
  }

  /** All that are assigned now. */
  synchronized List<TopicMapping> mappings() {
    List<TopicMapping> all = new ArrayList<>();
    heard.values().forEach(all::addAll);
    return all;
  }

  /** What was kept of it and could not be used. */
  List<KeptLeg.Damage> damages() {
    return kept.values().stream().flatMap(last -> last.damage().stream()).toList();
  }

  /** Tells what is assigned now, and whenever that changes. */
  synchronized void follow(Consumer<List<TopicMapping>> listener) {
    follower = listener;
    listener.accept(mappings());
  }

  /** A message; on other topics nothing happens. */
  synchronized void heard(TopicListener.Message message) {
    KeptMessage last = kept.get(message.topic());
    if (last != null && message.payload().length > 0) {
      TopicMessages.read(message.payload())
          .ifPresent(
              now -> {
                last.keep(
                    message.payload()); // also where it says nothing new: that may have failed
                take(message.topic(), now);
              });
    }
  }

  private void take(String topic, List<TopicMapping> now) {
    if (!now.equals(heard.put(topic, now))) {
      log.info("{} topics feed tanks as people assigned them", mappings().size());
      follower.accept(mappings());
    }
  }
}
