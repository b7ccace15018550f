// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.List;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/** Whatever a stranger sends, the decoder answers, and never with a value that is not believed. */
class PayloadDecoderFuzzTest {

  private static final Instant ARRIVED = Instant.parse("2026-03-14T02:11:07.250Z");

  private final PayloadDecoder decoder =
      new PayloadDecoder(
          tank -> true, List.of(TopicMapping.of("mapped/+", "{1}", Quantity.OXYGEN, "/v")));

  @Property(tries = 2000)
  void anyBytes_areAnswered(@ForAll("topics") String topic, @ForAll byte[] payload) {
    assertAnswered(decoder.decode(topic, payload, ARRIVED));
  }

  @Property(tries = 2000)
  void anyCborLikeBytes_areAnswered(@ForAll byte[] rest) {
    byte[] payload = new byte[rest.length + 1];
    payload[0] = (byte) 0x82;
    System.arraycopy(rest, 0, payload, 1, rest.length);

    assertAnswered(decoder.decode("tanks/h1/oxygen", payload, ARRIVED));
  }

  @Property(tries = 2000)
  void anyJsonLikeText_isAnswered(@ForAll("topics") String topic, @ForAll("packs") String text) {
    assertAnswered(decoder.decode(topic, text.getBytes(StandardCharsets.UTF_8), ARRIVED));
  }

  @Property(tries = 500)
  void anyTopic_isAnswered(@ForAll String topic) {
    assertAnswered(decoder.decode(topic, new byte[] {'8'}, ARRIVED));
  }

  private static void assertAnswered(Decoded decoded) {
    for (Reading reading : decoded.readings()) {
      assertThat(reading.quantity().isPlausible(reading.value())).isTrue();
      assertThat(reading.time()).isBefore(ARRIVED.plusSeconds(86_401));
    }
  }

  @Provide
  Arbitrary<String> topics() {
    return Arbitraries.of(
        "tanks/h1/oxygen", "tanks/h1/ph/2", "tanks/h1", "mapped/h1", "mapped/", "else");
  }

  @Provide
  Arbitrary<String> packs() {
    Arbitrary<String> pieces =
        Arbitraries.of(
            "[",
            "]",
            "{",
            "}",
            ",",
            ":",
            "\"v\"",
            "\"n\"",
            "\"bn\"",
            "\"t\"",
            "\"bt\"",
            "\"u\"",
            "\"oxygen\"",
            "\"h1/ph\"",
            "\"/\"",
            "1e308",
            "-1e308",
            "8",
            "NaN",
            "1773454267",
            "null",
            "true",
            "\"\\u0000\"",
            "\"",
            " ");
    return pieces.list().ofMaxSize(40).map(list -> String.join("", list));
  }
}
