// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import com.interaso.webpush.WebPush;

/** How urgent a message is to the device's battery: RFC 8030 section 5.3. */
public enum Urgency {
  /** Only when charging and on a free network. */
  VERY_LOW(WebPush.Urgency.VeryLow),
  /** When there is power or a free network. */
  LOW(WebPush.Urgency.Low),
  /** Unless the battery is low. */
  NORMAL(WebPush.Urgency.Normal),
  /** At once: for alarms that somebody must get up for. */
  HIGH(WebPush.Urgency.High);

  private final WebPush.Urgency header;

  Urgency(WebPush.Urgency header) {
    this.header = header;
  }

  WebPush.Urgency header() {
    return header;
  }
}
