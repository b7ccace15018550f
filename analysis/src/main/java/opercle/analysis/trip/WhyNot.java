// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;

/** Why something could not be measured, each reason once, in the keeper's words. */
final class WhyNot {

  private final DateTimeFormatter clock;
  private final Set<String> reasons = new LinkedHashSet<>();

  WhyNot(ZoneId zone) {
    this.clock = DateTimeFormatter.ofPattern("HH:mm", Locale.ROOT).withZone(zone);
  }

  void say(String sentence) {
    reasons.add(sentence);
  }

  /** A sentence that begins with when it was so. */
  void say(Instant at, String rest) {
    say("At %s %s".formatted(clock.format(at), rest));
  }

  List<String> sentences() {
    return List.copyOf(reasons);
  }
}
