// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.jspecify.annotations.Nullable;

/**
 * Remembers topics that nobody claims: what came last, how often, and when.
 *
 * <p>Bounded: {@value #MOST} topics, of which the one heard longest ago goes first; a message is
 * looked into once a second for each topic and counted otherwise; what is longer than {@value
 * #LONGEST_TOPIC} letters or {@value #LARGEST_LOOKED_INTO} bytes is not looked into at all. Safe
 * for many threads.
 */
public final class UnknownTopics {

  /** How many topics are remembered. */
  public static final int MOST = 200;

  private static final int LONGEST_TOPIC = 200;
  private static final int LARGEST_LOOKED_INTO = 4096;
  private static final int LONGEST_SHOWN = 120;
  private static final int MOST_VALUES = 12;
  private static final int DEEPEST = 6;

  /** How much the newest interval counts in the mean. */
  private static final double NEWEST_SHARE = 0.2;

  private static final Duration LOOKED_INTO_EVERY = Duration.ofSeconds(1);

  private final Map<String, Memory> topics = new LinkedHashMap<>();

  /**
   * A number in a message.
   *
   * @param pointer where it stands, a JSON Pointer (RFC 6901); empty where it is the whole message
   * @param value the number, in whatever unit
   */
  public record Found(String pointer, double value) {}

  /**
   * A topic that nobody claims.
   *
   * @param topic its name
   * @param shown the beginning of its last message, for a person to look at
   * @param values the numbers in it that could be readings
   * @param count how many messages came
   * @param last when the last came
   * @param everySeconds the mean time between the latest messages, s; empty while there is one only
   */
  public record Seen(
      String topic,
      String shown,
      List<Found> values,
      long count,
      Instant last,
      OptionalDouble everySeconds) {}

  private static final class Memory {
    private String shown = "";
    private List<Found> values = List.of();
    private long count;
    private Instant last = Instant.EPOCH;
    private Instant lookedInto = Instant.EPOCH;
    private double everySeconds = Double.NaN;
  }

  /** Remembers a message of a topic that nobody claims. */
  public synchronized void heard(String topic, byte[] payload, Instant now) {
    if (topic.length() > LONGEST_TOPIC) {
      return;
    }
    Memory memory = topics.remove(topic);
    if (memory == null) {
      memory = new Memory();
      if (topics.size() >= MOST) {
        topics.remove(topics.keySet().iterator().next()); // heard longest ago
      }
    } else {
      double seconds = Duration.between(memory.last, now).toMillis() / 1000.0;
      memory.everySeconds =
          Double.isNaN(memory.everySeconds)
              ? seconds
              : memory.everySeconds + NEWEST_SHARE * (seconds - memory.everySeconds);
    }
    topics.put(topic, memory);
    memory.count++;
    memory.last = now;
    if (Duration.between(memory.lookedInto, now).compareTo(LOOKED_INTO_EVERY) >= 0) {
      memory.lookedInto = now;
      look(memory, payload);
    }
  }

  /** Forgets a topic that somebody claims by now. */
  public synchronized void forget(String topic) {
    topics.remove(topic);
  }

  /** All that are remembered, by name. */
  public synchronized List<Seen> all() {
    List<Seen> all = new ArrayList<>();
    topics.forEach(
        (topic, m) ->
            all.add(
                new Seen(
                    topic,
                    m.shown,
                    m.values,
                    m.count,
                    m.last,
                    Double.isNaN(m.everySeconds)
                        ? OptionalDouble.empty()
                        : OptionalDouble.of(m.everySeconds))));
    all.sort(Comparator.comparing(Seen::topic));
    return all;
  }

  private static void look(Memory memory, byte[] payload) {
    memory.values = List.of();
    if (payload.length > LARGEST_LOOKED_INTO) {
      memory.shown = payload.length + " bytes";
      return;
    }
    Optional<String> text = text(payload);
    if (text.isEmpty()) {
      memory.shown = payload.length + " bytes that are no text";
      return;
    }
    memory.shown = Names.shown(text.get(), LONGEST_SHOWN);
    memory.values = values(text.get());
  }

  private static Optional<String> text(byte[] payload) {
    try {
      return Optional.of(
          StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(payload)).toString().strip());
    } catch (CharacterCodingException e) {
      return Optional.empty();
    }
  }

  private static List<Found> values(String text) {
    List<Found> found = new ArrayList<>();
    try {
      find(Trees.json(text), "", 0, found);
    } catch (Trees.UnreadableException e) {
      return List.of();
    }
    return List.copyOf(found);
  }

  private static void find(@Nullable JsonNode node, String pointer, int depth, List<Found> found) {
    if (node == null || found.size() >= MOST_VALUES || depth > DEEPEST) {
      return;
    }
    if (node.isNumber()) {
      found.add(new Found(pointer, node.doubleValue()));
    } else if (node.isTextual()) {
      PlainNumber.parse(node.textValue().strip())
          .ifPresent(value -> found.add(new Found(pointer, value)));
    } else if (node.isObject()) {
      node.properties()
          .forEach(
              field ->
                  find(
                      field.getValue(), pointer + "/" + escaped(field.getKey()), depth + 1, found));
    } else if (node.isArray()) {
      for (int i = 0; i < node.size(); i++) {
        find(node.get(i), pointer + "/" + i, depth + 1, found);
      }
    }
  }

  /** RFC 6901, section 3. */
  private static String escaped(String key) {
    return key.replace("~", "~0").replace("/", "~1");
  }
}
