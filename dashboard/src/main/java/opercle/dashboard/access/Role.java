// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;

/** What somebody may do; each role may do all that the one before it may. */
public enum Role {
  /** Read everything but who has access. */
  LOOK,
  /** Acknowledge alarms, write checks, trips, records, and what was done at a tank. */
  KEEP,
  /** Change tanks, probes, users and tokens. */
  MANAGE;

  /** As it is written in commands, the book and the addresses. */
  public String id() {
    return name().toLowerCase(Locale.ROOT);
  }

  /** The role of this id, if there is one. */
  public static Optional<Role> of(String id) {
    return Arrays.stream(values()).filter(role -> role.id().equals(id)).findFirst();
  }

  /** Whether it may do what the other may. */
  public boolean covers(Role other) {
    return compareTo(other) >= 0;
  }

  /** All ids, for a sentence. */
  public static String ids() {
    return Arrays.stream(values()).map(Role::id).collect(Collectors.joining(", "));
  }
}
