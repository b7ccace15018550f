// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.util.List;

/**
 * A topic filter (MQTT 5, section 4.7) as a right: which topics and filters lie within it. Strict,
 * as it keeps people out: what is not plainly within is not.
 */
final class TopicPattern {

  private static final int LONGEST = 1_024;

  private final List<String> levels;

  private TopicPattern(List<String> levels) {
    this.levels = levels;
  }

  /**
   * @throws IllegalArgumentException if it is not well-formed, with the reason
   */
  static TopicPattern of(String filter) {
    if (!isPlain(filter)) {
      throw new IllegalArgumentException(
          "\"%s\" must be a topic filter of at most %d characters, without \\, :: or control characters"
              .formatted(filter, LONGEST));
    }
    List<String> levels = List.of(filter.split("/", -1));
    if (!isWellFormed(levels)) {
      throw new IllegalArgumentException(
          "\"%s\": + must be a whole level, and # the whole last one".formatted(filter));
    }
    return new TopicPattern(levels);
  }

  /** Signs that the broker inside gives a meaning of its own are nobody's right. */
  private static boolean isPlain(String text) {
    return !text.isEmpty()
        && text.length() <= LONGEST
        && !text.contains("::")
        && text.chars().noneMatch(c -> c == '\\' || c == 0xFFFD || Character.isISOControl(c));
  }

  private static boolean isWellFormed(List<String> levels) {
    for (int i = 0; i < levels.size(); i++) {
      String level = levels.get(i);
      boolean wildcard = level.equals("+") || (level.equals("#") && i == levels.size() - 1);
      if (!wildcard && (level.contains("+") || level.contains("#"))) {
        return false;
      }
    }
    return true;
  }

  String firstLevel() {
    return levels.get(0);
  }

  /** Whether it is a topic to publish to, without wildcards, and lies within. */
  boolean allowsTopic(String topic) {
    return topic.indexOf('+') < 0 && topic.indexOf('#') < 0 && allowsFilter(topic);
  }

  /** Whether everything that the filter matches lies within. */
  boolean allowsFilter(String filter) {
    if (!isPlain(filter) || filter.startsWith("$")) {
      return false;
    }
    List<String> asked = List.of(filter.split("/", -1));
    if (!isWellFormed(asked)) {
      return false;
    }
    for (int i = 0; i < levels.size(); i++) {
      String level = levels.get(i);
      if (level.equals("#")) {
        return true;
      }
      if (i >= asked.size() || asked.get(i).equals("#")) {
        return false;
      }
      if (!level.equals("+") && !level.equals(asked.get(i))) {
        return false;
      }
    }
    return asked.size() == levels.size();
  }
}
