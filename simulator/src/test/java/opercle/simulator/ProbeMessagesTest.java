// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.List;
import opercle.ingest.payload.Decoded;
import opercle.ingest.payload.PayloadDecoder;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.simulator.probe.Dialect;
import org.junit.jupiter.api.Test;

class ProbeMessagesTest {

  private static final Instant T = Instant.parse("2026-03-14T02:11:07.250Z");
  private static final ObjectMapper JSON = new ObjectMapper();

  private static Reading reading(Quantity quantity, Dialect dialect, int ms, double value) {
    for (int i = 1; i < 100; i++) {
      Reading r = new Reading("h" + i, quantity, "1", T.plusMillis(ms), value);
      if (Dialect.of(r.series()) == dialect) {
        return r;
      }
    }
    throw new IllegalStateException("no tank speaks " + dialect);
  }

  private static String text(ProbeMessages.Message message) {
    return new String(message.payload(), StandardCharsets.UTF_8);
  }

  @Test
  void bareNumber_isNothingButTheNumber() {
    Reading r = reading(Quantity.OXYGEN, Dialect.BARE_NUMBER, 0, 8.62);

    ProbeMessages.Message message = ProbeMessages.of(r);

    assertThat(message.topic()).isEqualTo("tanks/" + r.tank() + "/oxygen");
    assertThat(text(message)).isEqualTo("8.62");
  }

  @Test
  void secondProbe_isNamedInTheTopic() {
    Reading r = new Reading("h3", Quantity.OXYGEN, "2", T, 8.0);

    assertThat(ProbeMessages.of(r).topic()).isEqualTo("tanks/h3/oxygen/2");
  }

  @Test
  void senmlPack_hasBaseTimeAndRelativeTimes() throws Exception {
    Reading first = reading(Quantity.OXYGEN, Dialect.SENML, 0, 8.62);
    Reading second = reading(Quantity.OXYGEN, Dialect.SENML, 5_010, 8.6);

    List<ProbeMessages.Message> messages = ProbeMessages.of(List.of(first, second));

    assertThat(messages).hasSize(1);
    JsonNode pack = JSON.readTree(messages.get(0).payload());
    assertThat(pack).hasSize(2);
    assertThat(pack.get(0).get("bt").asDouble()).isEqualTo(T.toEpochMilli() / 1000.0);
    assertThat(pack.get(0).get("bu").asText()).isEqualTo("mg/l");
    assertThat(pack.get(0).get("v").asDouble()).isEqualTo(8.62);
    assertThat(pack.get(1).get("t").asDouble()).isEqualTo(5.01);
    assertThat(pack.get(1).get("v").asDouble()).isEqualTo(8.6);
  }

  @Test
  void senmlPack_flowAndPressure_areInSenmlUnits() throws Exception {
    JsonNode flow =
        JSON.readTree(
            ProbeMessages.of(reading(Quantity.GAS_FLOW, Dialect.SENML, 0, 45.3)).payload());
    JsonNode pressure =
        JSON.readTree(
            ProbeMessages.of(reading(Quantity.CYLINDER_PRESSURE, Dialect.SENML, 0, 151.2))
                .payload());

    assertThat(flow.get(0).get("bu").asText()).isEqualTo("l/s");
    assertThat(flow.get(0).get("v").asDouble() * 60.0).isCloseTo(45.3, within(0.001));
    assertThat(pressure.get(0).get("bu").asText()).isEqualTo("Pa");
    assertThat(pressure.get(0).get("v").asDouble()).isEqualTo(15_120_000.0);
  }

  @Test
  void catchingUp_bareNumbers_onlyTheNewestIsSent() {
    Reading old = reading(Quantity.OXYGEN, Dialect.BARE_NUMBER, 0, 8.6);
    Reading young = reading(Quantity.OXYGEN, Dialect.BARE_NUMBER, 60_000, 8.1);

    List<ProbeMessages.Message> messages = ProbeMessages.of(List.of(old, young));

    assertThat(messages).singleElement().extracting(ProbeMessagesTest::text).isEqualTo("8.1");
  }

  @Test
  void sallowmere_speaksBothDialects() {
    SimulatedFarm farm = new SimulatedFarm(Sallowmere.farm(), Scenario.named("quiet-night"), 1L, T);
    List<Dialect> dialects =
        farm.advance(T.plusSeconds(60)).stream()
            .map(Reading::series)
            .distinct()
            .map(Dialect::of)
            .toList();

    assertThat(dialects.stream().filter(d -> d == Dialect.BARE_NUMBER).count())
        .isBetween(5L, (long) dialects.size() - 10L);
  }

  /** What the front door makes of the messages must be what the probes said. */
  @Test
  void messages_decoded_areTheReadingsAgain() {
    SimulatedFarm farm = new SimulatedFarm(Sallowmere.farm(), Scenario.named("quiet-night"), 1L, T);
    PayloadDecoder decoder = new PayloadDecoder(id -> farm.farm().tank(id).isPresent(), List.of());

    for (Reading reading : farm.advance(T.plusSeconds(120))) {
      ProbeMessages.Message message = ProbeMessages.of(reading);
      Decoded decoded = decoder.decode(message.topic(), message.payload(), reading.time());

      assertThat(decoded.rejections()).isEmpty();
      Reading got = decoded.readings().get(0);
      assertThat(got.series()).isEqualTo(reading.series());
      assertThat(got.time()).isBetween(reading.time().minusMillis(1), reading.time().plusMillis(1));
      assertThat(got.value())
          .isCloseTo(reading.value(), within(1e-5 * Math.abs(reading.value()) + 1e-9));
    }
  }

  @Test
  void packs_decoded_areTheReadingsAgain() {
    SimulatedFarm farm = new SimulatedFarm(Sallowmere.farm(), Scenario.named("quiet-night"), 1L, T);
    PayloadDecoder decoder = new PayloadDecoder(id -> farm.farm().tank(id).isPresent(), List.of());
    List<Reading> sent =
        farm.advance(T.plusSeconds(1200)).stream()
            .filter(r -> Dialect.of(r.series()) == Dialect.SENML)
            .toList();

    List<Reading> got =
        ProbeMessages.of(sent).stream()
            .map(m -> decoder.decode(m.topic(), m.payload(), T.plusSeconds(1200)))
            .flatMap(decoded -> decoded.readings().stream())
            .toList();

    assertThat(got).hasSameSizeAs(sent);
    assertThat(got.stream().mapToDouble(Reading::value).sum())
        .isCloseTo(sent.stream().mapToDouble(Reading::value).sum(), within(0.1));
  }
}
