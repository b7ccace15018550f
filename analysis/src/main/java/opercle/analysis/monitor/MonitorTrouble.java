// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.monitor;

import java.time.Instant;
import opercle.analysis.alarm.Priority;

/**
 * Something is wrong with the monitor itself.
 *
 * @param key which trouble
 * @param since when it began, by the wall clock
 * @param words what, a sentence
 */
public record MonitorTrouble(Key key, Instant since, String words) {

  /**
   * Which trouble.
   *
   * @param kind what is wrong
   * @param about which one of several, as part of an MQTT topic; empty where there is but one
   */
  public record Key(TroubleKind kind, String about) {

    public Key {
      if (!about.matches("[a-z0-9-]*")) {
        throw new IllegalArgumentException(
            "what a trouble is about must be a-z, 0-9 and -, but was \"%s\"".formatted(about));
      }
    }

    /** The one of its kind. */
    public static Key of(TroubleKind kind) {
      return new Key(kind, "");
    }

    /** One of several; other characters than letters and digits become a hyphen. */
    public static Key of(TroubleKind kind, String about) {
      return new Key(kind, about.toLowerCase(java.util.Locale.ROOT).replaceAll("[^a-z0-9]+", "-"));
    }

    /** The last level of its topic, for instance {@code certificate-ends-broker}. */
    public String id() {
      return about.isEmpty() ? kind.id() : kind.id() + "-" + about;
    }
  }

  /** How urgent it is. */
  public Priority priority() {
    return key.kind().priority();
  }

  /** The one thing to do, a sentence. */
  public String action() {
    return key.kind().action();
  }
}
