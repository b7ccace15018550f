// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.List;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;

/** Mappings that people assign while readings come. */
class AssignedTopicsTest {

  private static final Instant NOW = Instant.parse("2026-03-14T02:00:00Z");

  private final PayloadDecoder decoder = new PayloadDecoder("h1"::equals, List.of());

  private Decoded decode(String topic, String payload) {
    return decoder.decode(topic, payload.getBytes(StandardCharsets.UTF_8), NOW);
  }

  @Test
  void assigned_isTakenAtOnce_andTakenBackIsNot() {
    assertThat(decoder.claims("shed/probe7")).isFalse();
    assertThat(decode("shed/probe7", "8.6").readings()).isEmpty();

    decoder.assign(List.of(TopicMapping.of("shed/probe7", "h1", Quantity.OXYGEN, "")));

    assertThat(decoder.claims("shed/probe7")).isTrue();
    assertThat(decoder.topicFilters()).containsExactly("tanks/#", "shed/probe7");
    assertThat(decode("shed/probe7", "8.6").readings())
        .containsExactly(new Reading("h1", Quantity.OXYGEN, "1", NOW, 8.6));

    decoder.assign(List.of());

    assertThat(decoder.claims("shed/probe7")).isFalse();
    assertThat(decode("shed/probe7", "8.6").readings()).isEmpty();
  }

  @Test
  void claims_ownTopicsOfTanksThatTheFarmHas_andNoOthers() {
    assertThat(decoder.claims("tanks/h1/oxygen")).isTrue();
    assertThat(decoder.claims("tanks/h9/oxygen")).isFalse();
    assertThat(decoder.claims("tanks/h1/colour")).isFalse();

    decoder.assign(List.of(TopicMapping.of("shed/probe7", "h9", Quantity.OXYGEN, "")));

    assertThat(decoder.claims("shed/probe7")).isFalse();
  }
}
