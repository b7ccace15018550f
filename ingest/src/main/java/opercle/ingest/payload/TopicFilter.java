// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * An MQTT topic filter with the wildcards {@code +} (one level) and {@code #} (the rest), as in
 * MQTT 5, section 4.7.
 */
final class TopicFilter {

  private final String filter;
  private final String[] levels;

  private TopicFilter(String filter, String[] levels) {
    this.filter = filter;
    this.levels = levels;
  }

  /**
   * @throws IllegalArgumentException if the filter is not well-formed; the message says why
   */
  static TopicFilter of(String filter) {
    if (filter.isEmpty()) {
      throw new IllegalArgumentException("topic filter is empty");
    }
    String[] levels = filter.split("/", -1);
    for (int i = 0; i < levels.length; i++) {
      String level = levels[i];
      boolean wildcard = level.equals("+") || (level.equals("#") && i == levels.length - 1);
      if (!wildcard && (level.contains("+") || level.contains("#"))) {
        throw new IllegalArgumentException(
            "topic filter \"%s\": + must be a whole level, and # the whole last one"
                .formatted(filter));
      }
    }
    return new TopicFilter(filter, levels);
  }

  /** How many {@code +} the filter has. */
  int singleLevelWildcards() {
    int count = 0;
    for (String level : levels) {
      count += level.equals("+") ? 1 : 0;
    }
    return count;
  }

  /**
   * The topic's levels that the {@code +} stand for, in order, or empty if the topic does not
   * match.
   */
  Optional<List<String>> match(String topic) {
    if (topic.startsWith("$") && !levels[0].equals(topicHead(topic))) {
      return Optional.empty(); // wildcards do not reach the broker's own topics: 4.7.2
    }
    String[] parts = topic.split("/", -1);
    List<String> captured = new ArrayList<>();
    for (int i = 0; i < levels.length; i++) {
      if (levels[i].equals("#")) {
        return Optional.of(captured);
      }
      if (i >= parts.length) {
        return Optional.empty();
      }
      if (levels[i].equals("+")) {
        captured.add(parts[i]);
      } else if (!levels[i].equals(parts[i])) {
        return Optional.empty();
      }
      if (i == parts.length - 1 && i == levels.length - 2 && levels[i + 1].equals("#")) {
        return Optional.of(captured); // "a/#" takes "a" too: 4.7.1.2
      }
    }
    return parts.length == levels.length ? Optional.of(captured) : Optional.empty();
  }

  /** Whether there is a topic that both match. */
  boolean overlaps(TopicFilter other) {
    return overlap(levels, other.levels, 0);
  }

  /** Whether every topic that the other matches is matched by this one. */
  boolean covers(TopicFilter other) {
    for (int i = 0; i < levels.length; i++) {
      if (levels[i].equals("#")) {
        return true;
      }
      if (i >= other.levels.length || other.levels[i].equals("#")) {
        return false;
      }
      if (!levels[i].equals("+") && !levels[i].equals(other.levels[i])) {
        return false;
      }
    }
    return levels.length == other.levels.length;
  }

  private static boolean overlap(String[] a, String[] b, int at) {
    if (isRest(a, at) || isRest(b, at)) {
      return true;
    }
    if (at == a.length || at == b.length) {
      return a.length == b.length;
    }
    boolean same = a[at].equals("+") || b[at].equals("+") || a[at].equals(b[at]);
    return same && overlap(a, b, at + 1);
  }

  private static boolean isRest(String[] levels, int at) {
    return at < levels.length && levels[at].equals("#");
  }

  private static String topicHead(String topic) {
    int slash = topic.indexOf('/');
    return slash < 0 ? topic : topic.substring(0, slash);
  }

  @Override
  public String toString() {
    return filter;
  }
}
