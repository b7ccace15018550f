// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import opercle.analysis.publish.Topics;
import opercle.analysis.setup.TopicMessages;
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

  private final Path dataFolder;

  /** By the topic on which it is told. */
  private final Map<String, List<TopicMapping>> heard = new LinkedHashMap<>();

  private Consumer<List<TopicMapping>> follower = mappings -> {};

  /**
   * Takes up what was heard last.
   *
   * @param farms those that are watched, by name
   */
  HeardTopics(List<String> farms, Path dataFolder) {
    this.dataFolder = dataFolder;
    for (String farm : farms) {
      String topic = new Topics(farm).assignedTopics();
      heard.put(topic, kept(file(topic)));
    }
  }

  private static List<TopicMapping> kept(Path file) {
    if (!Files.isRegularFile(file)) {
      return List.of();
    }
    try {
      return TopicMessages.read(Files.readAllBytes(file)).orElse(List.of());
    } catch (IOException e) {
      log.warn(
          "which topics feed which tank is not known until the watch tells it: {}", e.getMessage());
      return List.of();
    }
  }

  /** One for each farm or site, whose names are alike in nothing but what a file name drops. */
  private Path file(String topic) {
    String plain = topic.replaceAll("[^A-Za-z0-9]+", "-");
    return dataFolder.resolve("%s-%08x.json".formatted(plain, topic.hashCode()));
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

  /** Tells what is assigned now, and whenever that changes. */
  synchronized void follow(Consumer<List<TopicMapping>> listener) {
    follower = listener;
    listener.accept(mappings());
  }

  /** A message; on other topics nothing happens. */
  synchronized void heard(TopicListener.Message message) {
    if (!heard.containsKey(message.topic()) || message.payload().length == 0) {
      return;
    }
    TopicMessages.read(message.payload())
        .filter(now -> !now.equals(heard.get(message.topic())))
        .ifPresent(
            now -> {
              heard.put(message.topic(), now);
              keep(file(message.topic()), message.payload());
              log.info("{} topics feed tanks as people assigned them", mappings().size());
              follower.accept(mappings());
            });
  }

  private static void keep(Path file, byte[] payload) {
    try {
      Path fresh = file.resolveSibling(file.getFileName() + ".new");
      Files.write(fresh, payload);
      Files.move(fresh, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
    } catch (IOException e) {
      log.warn("which topics feed which tank could not be kept: {}", e.getMessage());
    }
  }
}
