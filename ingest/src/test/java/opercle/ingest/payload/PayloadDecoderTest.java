// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import java.util.Set;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Rejection.Reason;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class PayloadDecoderTest {

  private static final Instant ARRIVED = Instant.parse("2026-03-14T02:11:07.250Z");

  private final PayloadDecoder decoder =
      new PayloadDecoder(Set.of("h1", "h2", "t1")::contains, List.of());

  @Test
  void bareNumber_becomesReadingAtArrival() {
    Decoded decoded = decode("tanks/h1/oxygen", "8.62");

    assertThat(decoded.readings())
        .containsExactly(new Reading("h1", Quantity.OXYGEN, "1", ARRIVED, 8.62));
    assertThat(decoded.rejections()).isEmpty();
  }

  @Test
  void topicWithProbe_namesTheProbe() {
    assertThat(decode("tanks/t1/gas-flow/left", " 2.5\r\n").readings())
        .containsExactly(new Reading("t1", Quantity.GAS_FLOW, "left", ARRIVED, 2.5));
  }

  @ParameterizedTest
  @ValueSource(strings = {"-0.4", "+8", "8e0", "8.", ".5", "0080"})
  void numberForms_areTaken(String text) {
    assertThat(decode("tanks/h1/oxygen", text).readings()).hasSize(1);
  }

  @ParameterizedTest
  @CsvSource({
    "'', EMPTY",
    "'  ', EMPTY",
    "NaN, NOT_A_NUMBER",
    "-inf, NOT_A_NUMBER",
    "1e999, NOT_A_NUMBER",
    "'8,62', MALFORMED",
    "8.62 mg/L, MALFORMED",
    "1d, MALFORMED",
    "0x1p3, MALFORMED",
    "--, MALFORMED",
    "80.5, OUT_OF_RANGE",
    "-0.6, OUT_OF_RANGE",
    "{}, MALFORMED",
    "[, MALFORMED",
    "[], EMPTY",
    "'[1]', MALFORMED"
  })
  void badPayload_isRejectedForThatReason(String payload, Reason reason) {
    Decoded decoded = decode("tanks/h1/oxygen", payload);

    assertThat(decoded.readings()).isEmpty();
    assertThat(decoded.rejections()).singleElement().extracting("reason").isEqualTo(reason);
  }

  @ParameterizedTest
  @CsvSource({
    "tanks/h9/oxygen, UNKNOWN_TANK",
    "tanks/h1/oxigen, UNKNOWN_TOPIC",
    "tanks/h1, UNKNOWN_TOPIC",
    "tanks, UNKNOWN_TOPIC",
    "tanks/h1/oxygen/1/2, UNKNOWN_TOPIC",
    "ponds/h1/oxygen, UNKNOWN_TOPIC",
    "tanks/h 1/oxygen, BAD_NAME",
    "tanks//oxygen, BAD_NAME",
    "tanks/h1/oxygen/, BAD_NAME",
    "'tanks/h1/oxygen/<b>', BAD_NAME"
  })
  void badTopic_isRejectedForThatReason(String topic, Reason reason) {
    assertThat(decode(topic, "8.62").rejections())
        .singleElement()
        .extracting("reason")
        .isEqualTo(reason);
  }

  @Test
  void outOfRange_saysFieldValueLimitsAndUnit() {
    assertThat(decode("tanks/h1/oxygen", "470").rejections().get(0))
        .hasFieldOrPropertyWithValue("source", "tanks/h1/oxygen")
        .hasFieldOrPropertyWithValue("time", ARRIVED)
        .hasFieldOrPropertyWithValue(
            "detail", "oxygen of 470.0 mg/L is outside the plausible -0.5 to 80.0 mg/L");
  }

  @Test
  void decimalComma_isExplained() {
    assertThat(decode("tanks/h1/oxygen", "8,62").rejections().get(0).detail())
        .isEqualTo(
            "oxygen is \"8,62\"; it must be a number of mg/L, or a list of readings (RFC 8428);"
                + " write the decimal sign as a dot");
  }

  @Test
  void invalidUtf8_isRejected() {
    byte[] latin1 = {'8', (byte) 0xe9};

    assertThat(decoder.decode("tanks/h1/oxygen", latin1, ARRIVED).rejections().get(0).reason())
        .isEqualTo(Reason.NOT_TEXT);
  }

  @Test
  void largePayload_isTakenToTheLimitAndNotBeyond() {
    String padded = "8.5" + " ".repeat(PayloadDecoder.LARGEST_BYTES - 3);

    assertThat(decode("tanks/h1/oxygen", padded).readings()).hasSize(1);
    assertThat(decode("tanks/h1/oxygen", padded + " ").rejections().get(0).reason())
        .isEqualTo(Reason.TOO_LARGE);
  }

  @Test
  void deepJson_isRejected() {
    String deep = "[".repeat(20_000) + "]".repeat(20_000);

    assertThat(decode("tanks/h1/oxygen", deep).rejections().get(0).reason())
        .isEqualTo(Reason.MALFORMED);
  }

  @Test
  void retainedBareNumber_isRejectedForItMayBeOld() {
    Decoded decoded = decoder.decodeRetained("tanks/h1/oxygen", "8.62".getBytes(UTF_8), ARRIVED);

    assertThat(decoded.readings()).isEmpty();
    assertThat(decoded.rejections().get(0).reason()).isEqualTo(Reason.NO_TIME);
  }

  @Test
  void retainedSenml_isTakenAtItsOwnTime() {
    Decoded decoded =
        decoder.decodeRetained(
            "tanks/h1/oxygen", "[{\"t\":1773454000,\"v\":8}]".getBytes(UTF_8), ARRIVED);

    assertThat(decoded.readings()).hasSize(1);
  }

  @Test
  void hostileTopic_isShownWithoutControlCharacters() {
    String source =
        decode("a\n\u001b[31m\u202e" + "x".repeat(500), "1").rejections().get(0).source();

    assertThat(source).hasSizeLessThan(210).doesNotContain("\n", "\u001b", "\u202e");
  }

  private Decoded decode(String topic, String payload) {
    return decoder.decode(topic, payload.getBytes(UTF_8), ARRIVED);
  }

  @Test
  void brokenJson_isSaidWithoutTheParsersWords() {
    assertThat(decode("tanks/h1/oxygen", "[{\"n\":").rejections().get(0).detail())
        .contains("not well-formed JSON: it cannot be read on after")
        .doesNotContain("Unexpected", "source:", "line:");
  }
}
