// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.HexFormat;
import java.util.List;
import java.util.Set;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Rejection;
import opercle.ingest.reading.Rejection.Reason;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class SenmlPackTest {

  private static final Instant ARRIVED = Instant.parse("2026-03-14T02:11:07.250Z");

  private final PayloadDecoder decoder =
      new PayloadDecoder(Set.of("h1", "h2", "t1")::contains, List.of());

  /** The shape of the example in RFC 8428, section 5.1.2, with what our tanks measure. */
  @Test
  void pack_resolvesBaseNameTimeUnitAndRelativeTimes() {
    String pack =
        """
        [{"bn":"urn:dev:ow:10e2073a01080063:","bt":1.773454267001e+09,"bu":"mg/l","bver":5,
          "n":"temperature","u":"Cel","v":12.1},
         {"n":"oxygen","t":-5,"v":8.2},
         {"n":"oxygen","t":-4,"v":8.3},
         {"n":"oxygen","v":8.7}]
        """;

    Decoded decoded = decode("tanks/h1", pack);

    assertThat(decoded.rejections()).isEmpty();
    assertThat(decoded.readings())
        .containsExactly(
            reading("h1", Quantity.TEMPERATURE, "1", "2026-03-14T02:11:07.001Z", 12.1),
            reading("h1", Quantity.OXYGEN, "1", "2026-03-14T02:11:02.001Z", 8.2),
            reading("h1", Quantity.OXYGEN, "1", "2026-03-14T02:11:03.001Z", 8.3),
            reading("h1", Quantity.OXYGEN, "1", "2026-03-14T02:11:07.001Z", 8.7));
  }

  @Test
  void timeBelow2To28_isRelativeToArrival() {
    Decoded decoded = decode("tanks/h1/oxygen", "[{\"v\":8,\"t\":-2.5},{\"v\":9}]");

    assertThat(decoded.readings())
        .extracting(Reading::time)
        .containsExactly(ARRIVED.minusMillis(2500), ARRIVED);
  }

  @Test
  void baseValue_isAddedToTheValue() {
    assertThat(decode("tanks/h1/temperature", "[{\"bv\":10,\"v\":2.5},{\"v\":3},{\"n\":\"b\"}]"))
        .extracting(Decoded::readings)
        .asInstanceOf(org.assertj.core.api.InstanceOfAssertFactories.list(Reading.class))
        .extracting(Reading::value)
        .containsExactly(12.5, 13.0, 10.0);
  }

  @ParameterizedTest
  @CsvSource({
    "'', h1, oxygen, left",
    "right, h1, oxygen, right",
    "oxygen, h1, oxygen, left",
    "temperature, h1, temperature, 1",
    "temperature/2, h1, temperature, 2",
    "/temperature/2, h1, temperature, 2",
    "h2/ph, h2, ph, 1",
    "h2/oxygen/2, h2, oxygen, 2",
    "tanks/h2/oxygen/2, h2, oxygen, 2",
    "urn:dev:mac:0024befffe804ff1:oxygen, h1, oxygen, left",
    "urn:dev:mac:0024befffe804ff1:, h1, oxygen, left"
  })
  void name_isReadFromItsEnd(String name, String tank, String quantity, String probe) {
    Decoded decoded = decode("tanks/h1/oxygen/left", "[{\"n\":\"" + name + "\",\"v\":7}]");

    Reading reading = decoded.readings().get(0);
    assertThat(reading.tank()).isEqualTo(tank);
    assertThat(reading.quantity().id()).isEqualTo(quantity);
    assertThat(reading.probe()).isEqualTo(probe);
  }

  @Test
  void oxygenInPercent_becomesSaturation() {
    assertThat(decode("tanks/h1/oxygen", "[{\"u\":\"/\",\"v\":0.92}]").readings())
        .extracting(Reading::quantity, Reading::value)
        .containsExactly(org.assertj.core.groups.Tuple.tuple(Quantity.OXYGEN_SATURATION, 92.0));
  }

  @Test
  void badRecords_doNotLoseTheGoodOnes() {
    String pack =
        """
        [{"v":8.0},{"v":NaN},{"v":"8"},{"v":8,"u":"furlong"},{"v":999},{"v":8,"t":1},
         {"v":8,"t":915148800},{"v":8,"t":1873454267},{"vs":"on"},{"n":"h9/oxygen","v":8},
         {"n":"a/b/c","v":8},{"u":"mg/l"},7,{"v":8.1,"t":-1}]
        """;

    Decoded decoded = decode("tanks/h1/oxygen", pack);

    assertThat(decoded.readings()).extracting(Reading::value).containsExactly(8.0, 8.0, 8.1);
    assertThat(decoded.rejections())
        .extracting(Rejection::reason)
        .containsExactly(
            Reason.NOT_A_NUMBER,
            Reason.NOT_A_NUMBER,
            Reason.UNKNOWN_UNIT,
            Reason.OUT_OF_RANGE,
            Reason.IMPLAUSIBLE_TIME,
            Reason.IMPLAUSIBLE_TIME,
            Reason.NOT_A_NUMBER,
            Reason.UNKNOWN_TANK,
            Reason.UNKNOWN_TOPIC,
            Reason.NOT_A_NUMBER,
            Reason.MALFORMED);
    assertThat(decoded.rejections().get(2).detail())
        .isEqualTo("record 4: oxygen has no unit \"furlong\"; it has mg/L, mg/l, kg/m3, %, /");
  }

  @Test
  void recordWithOnlyBaseFields_isSilent() {
    Decoded decoded = decode("tanks/h1/oxygen", "[{\"bn\":\"oxygen/2\"},{\"v\":8}]");

    assertThat(decoded.rejections()).isEmpty();
    assertThat(decoded.readings()).extracting(Reading::probe).containsExactly("2");
  }

  @ParameterizedTest
  @CsvSource({"'\"bver\":11'", "'\"must_\":1'", "'\"bt\":\"now\"'", "'\"bn\":5'"})
  void baseThatCannotBeUnderstood_endsThePack(String field) {
    Decoded decoded = decode("tanks/h1/oxygen", "[{\"v\":7},{" + field + ",\"v\":8},{\"v\":9}]");

    assertThat(decoded.readings()).extracting(Reading::value).containsExactly(7.0);
    assertThat(decoded.rejections()).hasSize(1);
  }

  /** Written by hand from RFC 8428, table 6, and RFC 8949. */
  @ParameterizedTest
  @CsvSource({
    // [{2: 8.5}] with a half, a single and a double float
    "81 a1 02 f9 4840, 8.5",
    "81 a1 02 fa 41080000, 8.5",
    "81 a1 02 fb 4021000000000000, 8.5",
    "81 a1 02 08, 8.0",
    "81 a1 02 20, -1.0",
    // the same with an indefinite array and map, self-described, and with a text label
    "9f bf 02 f94840 ff ff, 8.5",
    "d9d9f7 81 a1 02 f94840, 8.5",
    "81 a1 61 76 f94840, 8.5",
    // decimal fraction, tag 4: [-1, 85]
    "81 a1 02 c4 82 20 18 55, 8.5"
  })
  void cbor_numbersInAllWidths(String hex, double value) {
    byte[] pack = HexFormat.of().parseHex(hex.replace(" ", ""));

    Decoded decoded = decoder.decode("tanks/h1/temperature", pack, ARRIVED);

    assertThat(decoded.rejections()).isEmpty();
    assertThat(decoded.readings()).extracting(Reading::value).containsExactly(value);
  }

  @Test
  void cbor_resolvesBaseFieldsByIntegerLabels() {
    // [{-2: "h2/", -3: 1773454267, -4: "mg/l", -1: 10, 0: "oxygen", 2: 8.5}, {0: "ph", 1: "pH", 6:
    // -5, 2: 7}]
    String hex =
        "82 a6 21 63 68322f 22 1a 69b4c3bb 23 64 6d672f6c 20 0a 00 66 6f787967656e 02 f94840"
            + " a4 00 62 7068 01 62 7048 06 24 02 07";

    Decoded decoded =
        decoder.decode("tanks/h1", HexFormat.of().parseHex(hex.replace(" ", "")), ARRIVED);

    assertThat(decoded.rejections()).isEmpty();
    assertThat(decoded.readings())
        .containsExactly(
            reading("h2", Quantity.OXYGEN, "1", "2026-03-14T02:11:07Z", 8.5),
            reading("h2", Quantity.PH, "1", "2026-03-14T02:11:02Z", 7.0));
  }

  @ParameterizedTest
  @CsvSource({"81", "81 a1 02", "9b ffffffffffffffff", "81 a1 02 f94840 00", "81 a1 02 f97e00"})
  void cbor_brokenOrNotANumber_isRejected(String hex) {
    byte[] pack = HexFormat.of().parseHex(hex.replace(" ", ""));

    Decoded decoded = decoder.decode("tanks/h1/oxygen", pack, ARRIVED);

    assertThat(decoded.readings()).isEmpty();
    assertThat(decoded.rejections()).hasSize(1);
  }

  private Decoded decode(String topic, String payload) {
    return decoder.decode(topic, payload.getBytes(UTF_8), ARRIVED);
  }

  private static Reading reading(
      String tank, Quantity quantity, String probe, String time, double value) {
    return new Reading(tank, quantity, probe, Instant.parse(time), value);
  }
}
