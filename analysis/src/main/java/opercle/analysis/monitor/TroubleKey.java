// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.monitor;

import java.util.Locale;

/**
 * Which trouble of the monitor.
 *
 * @param kind what is wrong
 * @param about which one of several, as part of an MQTT topic; empty where there is but one
 */
public record TroubleKey(TroubleKind kind, String about) {

  public TroubleKey {
    if (!about.matches("[a-z0-9-]*")) {
      throw new IllegalArgumentException(
          "what a trouble is about must be a-z, 0-9 and -, but was \"%s\"".formatted(about));
    }
  }

  /** The one of its kind. */
  public static TroubleKey of(TroubleKind kind) {
    return new TroubleKey(kind, "");
  }

  /**
   * One of several. Other characters than a-z and digits become a hyphen; where that makes names
   * alike that were not, for instance in another alphabet, a number made of the name tells them
   * apart.
   */
  public static TroubleKey of(TroubleKind kind, String about) {
    String lower = about.toLowerCase(Locale.ROOT);
    String plain = lower.replaceAll("[^a-z0-9]+", "-");
    boolean same = plain.equals(lower.replace(' ', '-'));
    return new TroubleKey(kind, same ? plain : plain + "-" + Integer.toHexString(lower.hashCode()));
  }

  /** The last level of its topic, for instance {@code certificate-ends-broker}. */
  public String id() {
    return about.isEmpty() ? kind.id() : kind.id() + "-" + about;
  }
}
