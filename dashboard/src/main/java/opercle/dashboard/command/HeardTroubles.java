// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentSkipListMap;
import opercle.analysis.evening.EveningView;
import opercle.ingest.mqtt.TopicListener;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** The monitor's own troubles, as another process tells them over MQTT. For any thread. */
final class HeardTroubles {

  private static final Logger log = LoggerFactory.getLogger(HeardTroubles.class);
  private static final ObjectMapper JSON = new ObjectMapper();

  private static final int MOST = 100;

  /** By topic. */
  private final Map<String, EveningView.Trouble> standing = new ConcurrentSkipListMap<>();

  /** A message on a trouble's topic; an empty one says that it is over. */
  void heard(TopicListener.Message message) {
    String topic = message.topic();
    if (message.payload().length == 0) {
      standing.remove(topic);
      return;
    }
    try {
      JsonNode said = JSON.readTree(message.payload());
      String words = said.path("words").asText();
      if (!words.isEmpty() && (standing.size() < MOST || standing.containsKey(topic))) {
        standing.put(topic, new EveningView.Trouble(words, said.path("action").asText()));
      }
    } catch (IOException e) {
      log.warn("{} holds no trouble that can be read: {}", topic, e.getMessage());
    }
  }

  List<EveningView.Trouble> standing() {
    return List.copyOf(standing.values());
  }
}
