// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalLong;
import java.util.concurrent.ConcurrentSkipListMap;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.BooleanSupplier;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import opercle.dashboard.monitor.Leg;
import opercle.ingest.mqtt.TopicListener;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * What every {@code ingest} of its own says of itself; the watch tells it on as its own trouble, as
 * only the watch calls people. One that was never heard is not missed. One that says how often it
 * speaks, and has not for some minutes, is told as silent: its machine may have died together with
 * the broker that would have told its last will. How long that is goes by the clock of the looks,
 * not by the times in the messages, which are another machine's. For any thread.
 */
final class HeardIngests implements Leg {

  private static final Logger log = LoggerFactory.getLogger(HeardIngests.class);
  private static final ObjectMapper JSON = new ObjectMapper();

  private static final int MOST = 100;

  /**
   * In times of what it says it speaks every. After a restart of the watch it must be found silent
   * again before what was told of it counts as over.
   */
  private static final int SILENT_AFTER = 3;

  /** It may say what it likes; nobody is forgotten for longer than that. */
  private static final Duration LONGEST_SILENCE = Duration.ofHours(1);

  /**
   * What one said last.
   *
   * @param sinceNanos when it was first looked at, or the watch last heard nothing; empty: not yet
   * @param silent whether it was found silent, which the watch's own deafness does not take back
   */
  private record Heard(JsonNode said, OptionalLong sinceNanos, boolean silent) {

    static Heard now(JsonNode said) {
      return new Heard(said, OptionalLong.empty(), false);
    }

    Heard lookedAt(long nanos, boolean isDeaf) {
      if (silent) {
        return this;
      }
      long since = isDeaf ? nanos : sinceNanos.orElse(nanos);
      return new Heard(said, OptionalLong.of(since), nanos - since > silenceNanos());
    }

    private long silenceNanos() {
      long everySeconds = Math.min(said.path("everySeconds").asLong(), LONGEST_SILENCE.toSeconds());
      return everySeconds > 0 && !isOffline()
          ? Duration.ofSeconds(SILENT_AFTER * everySeconds).toNanos()
          : Long.MAX_VALUE;
    }

    boolean isOffline() {
      return said.path("status").asText().equals(IngestStatus.OFFLINE);
    }
  }

  /** By topic. */
  private final Map<String, Heard> heard = new ConcurrentSkipListMap<>();

  private final DateTimeFormatter clock;
  private final AtomicBoolean wereTooMany = new AtomicBoolean();
  private volatile BooleanSupplier hears = () -> true;

  /**
   * @param zone whose clock people read
   */
  HeardIngests(ZoneId zone) {
    clock = DateTimeFormatter.ofPattern("d MMM uuuu, HH:mm", Locale.ENGLISH).withZone(zone);
  }

  /** While it does not hear, nobody is silent. */
  void hearsWhile(BooleanSupplier isConnected) {
    hears = isConnected;
  }

  /** A message on an ingest's topic. */
  void heard(TopicListener.Message message) {
    String topic = message.topic();
    if (message.payload().length == 0) {
      heard.remove(topic);
      return;
    }
    try {
      JsonNode said = JSON.readTree(message.payload());
      if (!said.path("status").isTextual()) {
        return;
      }
      if (heard.size() < MOST || heard.containsKey(topic)) {
        // Each word of a living one has a time of its own: the same is the kept one, come again.
        heard.merge(
            topic,
            Heard.now(said),
            (before, now) -> before.said().equals(now.said()) ? before : now);
      } else if (!wereTooMany.getAndSet(true)) {
        log.warn(
            "{} services ingest are looked after already, which is the most: what happens to {} and to further ones is not told",
            MOST,
            topic);
      }
    } catch (IOException e) {
      log.warn("{} holds nothing that can be read: {}", topic, e.getMessage());
    }
  }

  private void note(long steadyNanos) {
    boolean isDeaf = !hears.getAsBoolean();
    heard.replaceAll((topic, last) -> last.lookedAt(steadyNanos, isDeaf));
  }

  /**
   * For a process that writes all readings to an InfluxDB itself: one beside it that writes them
   * there too would count each again. Those that write elsewhere are left in peace.
   *
   * @param bucket to which it writes
   */
  Leg noneInto(String bucket) {
    return steadyNanos -> {
      note(steadyNanos);
      Map<TroubleKey, String> troubles = new LinkedHashMap<>();
      heard.forEach(
          (topic, last) -> {
            if (!last.isOffline() && !last.silent() && isInto(bucket, last.said())) {
              troubles.put(
                  TroubleKey.of(TroubleKind.INTAKE_TROUBLE, clientOf(topic)),
                  "A service ingest takes in the readings too: each may count twice. End it, or run analyse and dashboard in place of serve.");
            }
          });
      return troubles;
    };
  }

  /** By the bucket's name alone, as one server goes by many addresses; an older one says none. */
  private static boolean isInto(String bucket, JsonNode said) {
    return !said.has("store") || said.path("bucket").asText().equals(bucket);
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
    note(steadyNanos);
    Map<TroubleKey, String> troubles = new LinkedHashMap<>();
    boolean isOneOfSeveral = heard.size() > 1;
    heard.forEach(
        (topic, last) -> {
          String client = clientOf(topic);
          String which = "The service ingest" + (isOneOfSeveral ? " \"" + client + "\"" : "");
          if (last.isOffline()) {
            troubles.put(
                TroubleKey.of(TroubleKind.INTAKE_TROUBLE, client),
                which
                    + " is not there: readings wait at the hub that probes send to, and are not stored.");
          } else if (last.silent()) {
            troubles.put(
                TroubleKey.of(TroubleKind.INTAKE_TROUBLE, client),
                which
                    + " has not been heard from%s: readings may not be stored."
                        .formatted(since(last.said())));
          }
          for (JsonNode trouble : last.said().path("troubles")) {
            troubles.put(
                TroubleKey.of(
                    TroubleKind.INTAKE_TROUBLE, client + "-" + trouble.path("id").asText()),
                which + " says: " + trouble.path("words").asText());
          }
        });
    return troubles;
  }

  private String since(JsonNode said) {
    try {
      return " since " + clock.format(Instant.parse(said.path("time").asText()));
    } catch (DateTimeException e) { // no time, or one that no calendar has
      return " for some minutes";
    }
  }
}
