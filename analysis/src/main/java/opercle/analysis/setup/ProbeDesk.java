// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import java.time.InstantSource;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.Consumer;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.MappingRecords;
import opercle.analysis.book.MappingRecords.Assigned;
import opercle.ingest.payload.TopicMapping;
import opercle.ingest.payload.UnknownTopics;
import opercle.ingest.reading.Quantity;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Which probe's topic feeds which tank: assigned and taken back by people while readings come. An
 * assignment is in the farm book before it is used. For any thread; changes take turns.
 */
public final class ProbeDesk {

  private static final Logger log = LoggerFactory.getLogger(ProbeDesk.class);
  private static final int LONGEST_TOPIC = 200;
  private static final int LONGEST_PROBE = 64;
  static final int MOST_ASSIGNED = 1_000;

  private final MappingRecords records;
  private final FarmDoor farm;
  private final UnknownTopics unknown;
  private final InstantSource clock;
  private final List<Consumer<List<TopicMapping>>> followers = new CopyOnWriteArrayList<>();
  private volatile List<Assigned> assigned;

  /**
   * Takes up the assignments of the book.
   *
   * @param unknown what nobody claims
   */
  public ProbeDesk(
      MappingRecords records, FarmDoor farm, UnknownTopics unknown, InstantSource clock) {
    this.records = records;
    this.farm = farm;
    this.unknown = unknown;
    this.clock = clock;
    this.assigned = inForce(records);
  }

  /**
   * The assignments of a book that can be in force, oldest first. A version that took any topic may
   * have left one that a broker refuses, and with it everything that is subscribed to beside it:
   * such a one is logged.
   */
  public static List<Assigned> inForce(MappingRecords records) {
    List<Assigned> all = records.assigned();
    for (Assigned one : all) {
      if (!isUsable(one)) {
        log.warn(
            "the farm book assigns '{}' to tank {}, which is not a name that a probe sends under; it is left out",
            one.mapping().topicFilter(),
            one.mapping().tank());
      }
    }
    return usable(all);
  }

  private static List<Assigned> usable(List<Assigned> all) {
    return all.stream().filter(ProbeDesk::isUsable).toList();
  }

  private static boolean isUsable(Assigned one) {
    return isProbesTopic(one.mapping().topicFilter());
  }

  /** Tells what is assigned now, and whenever it changes, once it is in the book. */
  public synchronized void follow(Consumer<List<TopicMapping>> follower) {
    followers.add(follower);
    follower.accept(mappings());
  }

  /** The assignments that hold, oldest first. */
  public List<Assigned> assigned() {
    return assigned;
  }

  /** What came on topics that nobody claims. */
  public List<UnknownTopics.Seen> unknown() {
    return unknown.all();
  }

  /**
   * Assigns a topic; used at once. An earlier assignment of the same value is replaced.
   *
   * @param topic without wildcards
   * @param pointer where the value stands in the message; empty for all of it
   * @param unit the unit that it comes in; empty for the quantity's own
   * @throws RefusedActException if the farm has no such tank, or the topic cannot be assigned
   */
  public synchronized TopicMapping assign(
      String topic,
      String pointer,
      String tank,
      Quantity quantity,
      Optional<String> unit,
      String by) {
    if (farm.version().farm().tank(tank).isEmpty()) {
      throw new RefusedActException("This farm has no such tank; it may have been taken out.");
    }
    if (!isProbesTopic(topic)) {
      throw new RefusedActException(
          "'%s' is not a name that a probe sends under.".formatted(topic));
    }
    if (assigned.size() >= MOST_ASSIGNED) {
      throw new RefusedActException(
          "%d are assigned already, which is the most. Describe more of them under mappings in opercle.yaml."
              .formatted(MOST_ASSIGNED));
    }
    TopicMapping mapping;
    try {
      mapping =
          new TopicMapping(
              topic,
              tank,
              quantity,
              distinct(probe(topic, pointer), topic, pointer, tank, quantity),
              pointer,
              Optional.empty(),
              unit,
              Optional.empty());
    } catch (IllegalArgumentException e) {
      throw new RefusedActException(
          "'%s' cannot be assigned: %s.".formatted(topic, e.getMessage()));
    }
    records.assign(mapping, by, clock.instant());
    log.info("{} feeds {} of tank {} now, by {}", topic, quantity.id(), tank, by);
    changed();
    return mapping;
  }

  /**
   * Whether a broker takes it as the topic of one probe: no wildcard, nothing of our own or of the
   * broker's, no character that MQTT 5 forbids or discourages (section 1.5.4: halves of surrogate
   * pairs, control characters, non-characters), none that cannot be seen and makes a topic look
   * like another. One that it refused would keep the whole front door shut.
   */
  static boolean isProbesTopic(String topic) {
    return !topic.isBlank()
        && topic.length() <= LONGEST_TOPIC
        && !topic.startsWith("$")
        && !topic.startsWith("opercle/")
        && topic.codePoints().noneMatch(c -> c == '+' || c == '#' || isUnseen(c));
  }

  private static boolean isUnseen(int c) {
    boolean isNoCharacter = (c & 0xFFFE) == 0xFFFE || (c >= 0xFDD0 && c <= 0xFDEF);
    return isNoCharacter
        || switch (Character.getType(c)) {
          case Character.CONTROL,
              Character.FORMAT,
              Character.SURROGATE,
              Character.LINE_SEPARATOR,
              Character.PARAGRAPH_SEPARATOR ->
              true;
          default -> false;
        };
  }

  /** Takes an assignment back; where there is none, nothing happens. */
  public synchronized void takeBack(String topic, String pointer, String by) {
    boolean there =
        assigned.stream()
            .map(Assigned::mapping)
            .anyMatch(m -> m.topicFilter().equals(topic) && m.valuePointer().equals(pointer));
    if (there) {
      records.takeBack(topic, pointer, by, clock.instant());
      log.info("{} feeds no tank any more, by {}", topic, by);
      changed();
    }
  }

  private void changed() {
    assigned = usable(records.assigned()); // the others were logged at the start
    List<TopicMapping> mappings = mappings();
    mappings.stream()
        .filter(m -> m.valuePointer().isEmpty()) // a message with more values has others to assign
        .forEach(m -> unknown.forget(m.topicFilter()));
    followers.forEach(follower -> follower.accept(mappings));
  }

  private List<TopicMapping> mappings() {
    return assigned.stream().map(Assigned::mapping).toList();
  }

  /** The name, made another where a different topic of that tank and quantity has it already. */
  private String distinct(
      String name, String topic, String pointer, String tank, Quantity quantity) {
    boolean taken =
        assigned.stream()
            .map(Assigned::mapping)
            .anyMatch(
                m ->
                    m.tank().equals(tank)
                        && m.quantity() == quantity
                        && m.probe().equals(name)
                        && !(m.topicFilter().equals(topic) && m.valuePointer().equals(pointer)));
    if (!taken) {
      return name;
    }
    String mark = "-%06x".formatted((topic + " " + pointer).hashCode() & 0xFFFFFF);
    return name.substring(0, Math.min(name.length(), LONGEST_PROBE - mark.length())) + mark;
  }

  /**
   * What the probe is called: its topic, as far as a name can hold it. Two topics of one tank and
   * quantity are two probes, and one that is assigned again goes on under its name.
   */
  private static String probe(String topic, String pointer) {
    String name = (topic + pointer).replace('/', '.').replaceAll("[^A-Za-z0-9._-]", "-");
    String end = name.substring(Math.max(0, name.length() - LONGEST_PROBE));
    String sane = end.replaceFirst("^[^A-Za-z0-9]+", "");
    return sane.isEmpty() ? "1" : sane;
  }
}
