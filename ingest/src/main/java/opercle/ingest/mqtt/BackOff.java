// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.time.Duration;

/** How long to wait before the next try: twice as long each time, up to a limit. One thread. */
final class BackOff {

  private final Duration first;
  private final Duration longest;
  private Duration next;

  BackOff(Duration first, Duration longest) {
    this.first = first;
    this.longest = longest;
    this.next = first;
  }

  Duration next() {
    Duration now = next;
    Duration doubled = next.multipliedBy(2);
    next = doubled.compareTo(longest) < 0 ? doubled : longest;
    return now;
  }

  void reset() {
    next = first;
  }
}
