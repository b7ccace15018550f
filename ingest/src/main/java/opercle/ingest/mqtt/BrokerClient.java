// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.util.List;
import java.util.Set;

/**
 * A program that may use the embedded broker, for instance a probe or a display.
 *
 * @param name its user name
 * @param passwordHash what its password is compared with
 * @param sends topics that it may publish to, as topic filters
 * @param reads topics that it may subscribe to: a filter that reaches no further than one of these
 */
public record BrokerClient(
    String name, String passwordHash, List<String> sends, List<String> reads) {

  /** The first levels of topics in which every client must name what it means. */
  private static final Set<String> NEVER_BY_WILDCARD = Set.of("#", "+");

  /**
   * @throws IllegalArgumentException with the field and what is wrong with it
   */
  public BrokerClient {
    if (!name.matches("[A-Za-z0-9._-]{1,64}")) {
      throw new IllegalArgumentException(
          "name: \"%s\" must be 1–64 letters, digits or . _ -".formatted(name));
    }
    if (name.equals(EmbeddedBroker.OWN_USER)) {
      throw new IllegalArgumentException("name: \"%s\" is Opercle's own".formatted(name));
    }
    sends = List.copyOf(sends);
    reads = List.copyOf(reads);
    if (sends.isEmpty() && reads.isEmpty()) {
      throw new IllegalArgumentException("sends: is missing, and reads too; it could do nothing");
    }
    sends.forEach(filter -> check("sends", filter));
    reads.forEach(filter -> check("reads", filter));
  }

  private static void check(String field, String filter) {
    TopicPattern pattern;
    try {
      pattern = TopicPattern.of(filter);
    } catch (IllegalArgumentException e) {
      throw new IllegalArgumentException(field + ": " + e.getMessage(), e);
    }
    if (NEVER_BY_WILDCARD.contains(pattern.firstLevel())) {
      throw new IllegalArgumentException(
          "%s: \"%s\" reaches everything; name the first level, such as tanks/h1/#"
              .formatted(field, filter));
    }
  }

  /** Shows no hash. */
  @Override
  public String toString() {
    return "%s, sends %s, reads %s".formatted(name, sends, reads);
  }
}
