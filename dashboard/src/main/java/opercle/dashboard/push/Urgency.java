// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import java.util.Locale;

/** How urgent a message is to the device's battery: RFC 8030 section 5.3. */
public enum Urgency {
  /** Only when charging and on a free network. */
  VERY_LOW,
  /** When there is power or a free network. */
  LOW,
  /** Unless the battery is low. */
  NORMAL,
  /** At once: for alarms that somebody must get up for. */
  HIGH;

  String header() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }
}
