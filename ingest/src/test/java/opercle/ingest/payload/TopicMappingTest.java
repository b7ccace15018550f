// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Rejection;
import opercle.ingest.reading.Rejection.Reason;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class TopicMappingTest {

  private static final Instant ARRIVED = Instant.parse("2026-03-14T02:11:07.250Z");

  private static final TopicMapping OXYGEN =
      new TopicMapping(
          "farm/+/box/+",
          "{1}",
          Quantity.OXYGEN,
          "{2}",
          "/water/0/do",
          Optional.of("/at"),
          Optional.empty(),
          Optional.of("/water/0/unit"));
  private static final TopicMapping TEMPERATURE =
      new TopicMapping(
          "farm/#",
          "h2",
          Quantity.TEMPERATURE,
          "1",
          "/a~1b",
          Optional.empty(),
          Optional.of("degF"),
          Optional.empty());

  private final PayloadDecoder decoder =
      new PayloadDecoder(Set.of("h1", "h2")::contains, List.of(OXYGEN, TEMPERATURE));

  @Test
  void oneMessage_givesAReadingPerMatchingMapping() {
    String message =
        """
        {"at":"2026-03-14T03:11:00.5+01:00","water":[{"do":"0.91","unit":"/"}],"a/b":59}
        """;

    assertThat(decode("farm/h1/box/7", message).readings())
        .containsExactly(
            new Reading(
                "h1",
                Quantity.OXYGEN_SATURATION,
                "7",
                Instant.parse("2026-03-14T02:11:00.500Z"),
                91.0),
            new Reading("h2", Quantity.TEMPERATURE, "1", ARRIVED, 15.0));
  }

  @ParameterizedTest
  @CsvSource({"1773454260.5", "1773454260500", "'\"1773454260.5\"'"})
  void time_mayBeSecondsOrMilliseconds(String time) {
    String message = "{\"at\":" + time + ",\"water\":[{\"do\":8,\"unit\":\"mg/L\"}],\"a/b\":59}";

    assertThat(decode("farm/h1/box/7", message).readings().get(0).time())
        .isEqualTo("2026-03-14T02:11:00.500Z");
  }

  @ParameterizedTest
  @CsvSource({
    "'{\"at\":1773454260,\"water\":[]}', MALFORMED",
    "'{\"at\":1773454260,\"water\":[{\"do\":null,\"unit\":\"mg/L\"}]}', NOT_A_NUMBER",
    "'{\"at\":1773454260,\"water\":[{\"do\":8}]}', UNKNOWN_UNIT",
    "'{\"at\":1773454260,\"water\":[{\"do\":8,\"unit\":\"lb\"}]}', UNKNOWN_UNIT",
    "'{\"at\":\"noon\",\"water\":[{\"do\":8,\"unit\":\"mg/L\"}]}', IMPLAUSIBLE_TIME",
    "'{\"at\":1e300,\"water\":[{\"do\":8,\"unit\":\"mg/L\"}]}', IMPLAUSIBLE_TIME",
    "'{\"water\":[{\"do\":8,\"unit\":\"mg/L\"}]}', IMPLAUSIBLE_TIME"
  })
  void badField_isRejectedAndTheOtherMappingStillReads(String message, Reason reason) {
    Decoded decoded =
        decode("farm/h1/box/7", message.substring(0, message.length() - 1) + ",\"a/b\":50}");

    assertThat(decoded.readings()).extracting(Reading::value).containsExactly(10.0);
    assertThat(decoded.rejections()).extracting(Rejection::reason).containsExactly(reason);
  }

  @Test
  void notJson_isRejectedOnce() {
    assertThat(decode("farm/h1/box/7", "{").rejections())
        .extracting(Rejection::reason)
        .containsExactly(Reason.MALFORMED);
  }

  @ParameterizedTest
  @CsvSource({
    "a/b, a/b, true",
    "a/b, a/b/c, false",
    "a/+, a/b, true",
    "a/+, a, false",
    "a/+, a/b/c, false",
    "a/#, a/b/c, true",
    "a/#, a, true",
    "a/#, ab, false",
    "a/+/#, a, false",
    "'#', a/b, true",
    "'#', $SYS/x, false",
    "+/x, $SYS/x, false",
    "$SYS/#, $SYS/x, true",
    "+, '', true"
  })
  void filter_matchesAsMqttSays(String filter, String topic, boolean matches) {
    assertThat(TopicFilter.of(filter).match(topic).isPresent()).isEqualTo(matches);
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "a/b+", "a#", "#/a"})
  void badFilter_isRefused(String filter) {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> TopicMapping.of(filter, "h1", Quantity.OXYGEN, "/v"))
        .withMessageContaining("topic filter");
  }

  @Test
  void impossibleMapping_isRefusedWithAHint() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> TopicMapping.of("a/+", "{2}", Quantity.OXYGEN, "/v"))
        .withMessage("tank: {2} asks for a + that the topic filter does not have; it has 1");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> TopicMapping.of("a/+", "h1", Quantity.OXYGEN, "v"))
        .withMessage("value: \"v\" is not a JSON Pointer; it must be empty or start with /");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> TopicMapping.of("a", "h 1", Quantity.OXYGEN, ""))
        .withMessageStartingWith("tank: \"h 1\" is not a name");
  }

  private Decoded decode(String topic, String payload) {
    return decoder.decode(topic, payload.getBytes(UTF_8), ARRIVED);
  }
}
