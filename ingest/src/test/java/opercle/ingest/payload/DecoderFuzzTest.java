// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** A little of what {@link DecoderFuzz} does at length. */
class DecoderFuzzTest {

  @ParameterizedTest
  @EnumSource
  void mutatedPayloads_areAnsweredSoon(DecoderFuzz.Kind kind) {
    DecoderFuzz.Outcome outcome = new DecoderFuzz(kind, 3).run(10_000);

    assertThat(outcome.slowest()).isLessThan(Duration.ofSeconds(5));
    if (kind != DecoderFuzz.Kind.UNKNOWN_TOPIC) {
      assertThat(outcome.rejected()).isGreaterThan(1_000);
      assertThat(outcome.readings()).isGreaterThan(20);
    }
  }
}
