// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.concurrent.ConcurrentSkipListMap;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import opercle.dashboard.monitor.Leg;
import opercle.ingest.mqtt.TopicListener;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * What every {@code ingest} of its own says of itself; the watch tells it on as its own trouble, as
 * only the watch calls people. One that was never heard is not missed. For any thread.
 */
final class HeardIngests implements Leg {

  private static final Logger log = LoggerFactory.getLogger(HeardIngests.class);
  private static final ObjectMapper JSON = new ObjectMapper();

  private static final int MOST = 100;

  /** By topic. */
  private final Map<String, JsonNode> heard = new ConcurrentSkipListMap<>();

  /** A message on an ingest's topic. */
  void heard(TopicListener.Message message) {
    String topic = message.topic();
    if (message.payload().length == 0) {
      heard.remove(topic);
      return;
    }
    try {
      JsonNode said = JSON.readTree(message.payload());
      if (said.path("status").isTextual() && (heard.size() < MOST || heard.containsKey(topic))) {
        heard.put(topic, said);
      }
    } catch (IOException e) {
      log.warn("{} holds nothing that can be read: {}", topic, e.getMessage());
    }
  }

  /** For a process that takes in all readings itself: one beside it would count each again. */
  Leg none() {
    return steadyNanos -> {
      Map<TroubleKey, String> troubles = new LinkedHashMap<>();
      heard.forEach(
          (topic, said) -> {
            if (!said.path("status").asText().equals(IngestStatus.OFFLINE)) {
              troubles.put(
                  TroubleKey.of(TroubleKind.INTAKE_TROUBLE, clientOf(topic)),
                  "A service ingest takes in the readings too: each may count twice. End it, or run analyse and dashboard in place of serve.");
            }
          });
      return troubles;
    };
  }

  private static String clientOf(String topic) {
    return topic.substring(topic.lastIndexOf('/') + 1);
  }

  @Override
  public String what() {
    return "the services that take readings in";
  }

  @Override
  public Map<TroubleKey, String> look(long steadyNanos) {
    Map<TroubleKey, String> troubles = new LinkedHashMap<>();
    boolean isOneOfSeveral = heard.size() > 1;
    heard.forEach(
        (topic, said) -> {
          String client = clientOf(topic);
          String which = "The service ingest" + (isOneOfSeveral ? " \"" + client + "\"" : "");
          if (said.path("status").asText().equals(IngestStatus.OFFLINE)) {
            troubles.put(
                TroubleKey.of(TroubleKind.INTAKE_TROUBLE, client),
                which + " is not there: readings wait at the hub that probes send to, and are not stored.");
          }
          for (JsonNode trouble : said.path("troubles")) {
            troubles.put(
                TroubleKey.of(
                    TroubleKind.INTAKE_TROUBLE, client + "-" + trouble.path("id").asText()),
                which + " says: " + trouble.path("words").asText());
          }
        });
    return troubles;
  }
}
