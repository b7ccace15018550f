// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import opercle.ingest.reading.Quantity;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** How a span is cut into the parts that a chart draws. */
class TraceQueryTest {

  private static final Instant NOW = Instant.parse("2026-03-14T02:11:07.345Z");

  @ParameterizedTest
  @CsvSource({
    "PT1H, 1000, PT3.6S, 1000",
    "PT6H, 1000, PT21.6S, 1000",
    "PT12H, 1000, PT1M, 721",
    "PT24H, 1000, PT2M, 721",
    "P7D, 1000, PT11M, 917",
    "P30D, 1000, PT44M, 982",
    "P31D, 1, P31D, 2",
  })
  void span_isCutIntoWholeMinutes_onceItsPartsAreLong(
      Duration span, int points, Duration part, int parts) {
    TraceQuery query =
        TraceQuery.gathered(Quantity.OXYGEN, Optional.empty(), NOW.minus(span), NOW, points);

    assertThat(query.partSeconds()).isEqualTo(part.toMillis() / 1000.0);
    assertThat(query.points()).isEqualTo(parts);
    assertThat(query.from()).isBetween(NOW.minus(span).minus(part), NOW.minus(span));
    assertThat(query.to()).isBetween(NOW, NOW.plus(part));
  }

  @Test
  void partsOfALongSpan_stayWhereTheyAre_asTimeGoesOn() {
    var first = day(NOW);
    var later = day(NOW.plusSeconds(40));

    assertThat(later.from()).isEqualTo(first.from());
    assertThat(day(NOW.plusSeconds(120)).from()).isEqualTo(first.from().plusSeconds(120));
  }

  private static TraceQuery day(Instant to) {
    return TraceQuery.gathered(
        Quantity.OXYGEN, Optional.empty(), to.minus(Duration.ofDays(1)), to, 1000);
  }
}
