// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/**
 * What a trip's oxygen came to, counted apart from the review: each reading until the next, none of
 * them more than half a minute later.
 */
public final class OxygenBySample {

  private final List<Reading> oxygen;
  private final Instant end;

  private OxygenBySample(List<Reading> oxygen, Instant end) {
    this.oxygen = oxygen;
    this.end = end;
  }

  /** Of one tank with one oxygen probe. */
  public static OxygenBySample of(List<Reading> readings, Instant end) {
    return new OxygenBySample(
        readings.stream()
            .filter(r -> r.quantity() == Quantity.OXYGEN)
            .sorted(Comparator.comparing(Reading::time))
            .toList(),
        end);
  }

  /** The lowest reading, mg/L. */
  public double lowestMgPerL() {
    return oxygen.stream().mapToDouble(Reading::value).min().orElseThrow();
  }

  /** How long it was below a floor, mg/L. */
  public Duration below(double floorMgPerL) {
    Duration sum = Duration.ZERO;
    for (int i = 0; i < oxygen.size(); i++) {
      Instant next = i + 1 < oxygen.size() ? oxygen.get(i + 1).time() : end;
      Duration length = Duration.between(oxygen.get(i).time(), next);
      assertThat(length).as("no gap to reckon with").isLessThan(Duration.ofSeconds(30));
      sum = oxygen.get(i).value() < floorMgPerL ? sum.plus(length) : sum;
    }
    return sum;
  }
}
