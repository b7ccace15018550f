// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.fasterxml.jackson.core.JsonProcessingException;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.watch.Origins;
import opercle.analysis.watch.TankChecks;
import opercle.analysis.watch.TankState;
import opercle.analysis.watch.TimeInHand;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The contract's JSON to the letter, and that a state survives the way there and back. */
class WatchJsonTest {

  @Test
  void alarm_hasTheContractsKeysInItsOrder_thenThoseAddedSince() {
    assertThat(WatchJson.alarm(News.raised("h2", "Holding 2: \"low\"\n")))
        .isEqualTo(
            "{\"type\":\"alarm\",\"time\":\"2026-03-14T02:11:07.000Z\",\"tank\":\"h2\","
                + "\"cause\":\"oxygen-low\",\"event\":\"raised\",\"priority\":\"high\","
                + "\"state\":\"unacknowledged\",\"timeInHandMinutes\":31.5,\"oxygenMgPerL\":8.62,"
                + "\"message\":\"Holding 2: \\\"low\\\"\\n\","
                + "\"since\":\"2026-03-14T02:11:07.000Z\",\"annunciated\":true}");
  }

  @Test
  void alarm_thatOneActsOn_saysWhoUntilWhenAndForWhichTanks() {
    AlarmEvent plain = News.raised("h2", "x");
    AlarmEvent acted =
        new AlarmEvent(
            plain.time(),
            plain.tank(),
            plain.cause(),
            AlarmEvent.Kind.SHELVED,
            plain.priority(),
            AlarmState.SHELVED,
            plain.timeInHandMinutes(),
            plain.oxygenMgPerL(),
            plain.message(),
            News.T0.minusSeconds(60),
            false,
            Optional.of("Robin"),
            Optional.of(News.T0.plusSeconds(1800)),
            Optional.of(new AlarmId("h1", AlarmCause.GAS_LINE_STOPPED)),
            List.of("h2", "h3"));

    assertThat(WatchJson.alarm(acted))
        .contains("\"event\":\"shelved\"", "\"state\":\"shelved\"")
        .endsWith(
            "\"since\":\"2026-03-14T02:10:07.000Z\",\"annunciated\":false,\"by\":\"Robin\","
                + "\"until\":\"2026-03-14T02:41:07.000Z\","
                + "\"root\":{\"tank\":\"h1\",\"cause\":\"gas-line-stopped\"},"
                + "\"tanks\":[\"h2\",\"h3\"]}");
  }

  @Test
  void briefState_saysNullForWhatIsNotKnown() {
    assertThat(WatchJson.brief(News.silent("h1", News.T0)))
        .isEqualTo(
            "{\"type\":\"state\",\"time\":\"2026-03-14T02:11:07.000Z\",\"tank\":\"h1\","
                + "\"oxygenMgPerL\":null,\"saturationPercent\":null,\"temperatureC\":null,"
                + "\"slopeMgPerLPerMin\":null,\"demandMgPerKgPerHour\":null,"
                + "\"timeInHandMinutes\":null,\"timeInHandIfGasStopsMinutes\":null}");
  }

  @Test
  void summary_isTheContracts() {
    assertThat(WatchJson.summary(1_000_000, 3, 1, 86_399.5))
        .isEqualTo(
            "{\"type\":\"summary\",\"readings\":1000000,\"rejected\":3,\"alarms\":1,"
                + "\"seconds\":86399.5}");
  }

  @Test
  void numbers_areNeverMinusZeroNorWithAnExponentNorWithTrailingZeros() {
    TankState full = News.full();
    TankState odd = with(full, OptionalDouble.of(-0.000001), OptionalDouble.of(100.0));

    assertThat(WatchJson.brief(odd))
        .contains("\"oxygenMgPerL\":100,")
        .contains("\"slopeMgPerLPerMin\":0,");
  }

  @Test
  void fullState_comesBackAsItWas() throws JsonProcessingException {
    assertThat(StateReader.read(WatchJson.state(News.full()))).isEqualTo(News.full());
  }

  @Test
  void silentState_comesBackAsItWas() throws JsonProcessingException {
    TankState silent = News.silent("h1", News.T0);

    assertThat(StateReader.read(WatchJson.state(silent))).isEqualTo(silent);
  }

  @Test
  void holdingState_comesBackAsItWas() throws JsonProcessingException {
    TankState full = News.full();
    TankState holding =
        new TankState(
            full.tank(),
            full.time(),
            Optional.empty(),
            full.oxygenMgPerL(),
            full.saturationPercent(),
            full.temperatureC(),
            full.gasFlowLPerMin(),
            full.slopeMgPerLPerMin(),
            full.demandMgPerKgPerHour(),
            new TimeInHand.Holding(),
            full.timeInHandIfGasStops(),
            List.of());

    assertThat(StateReader.read(WatchJson.state(holding))).isEqualTo(holding);
  }

  @Test
  void origins_comeBackAsTheyWere() throws JsonProcessingException {
    TankState full = News.full();
    Origins origins =
        new Origins(
            Optional.of(new Origins.Heard("2", News.T0)),
            Optional.empty(),
            Optional.of(new Origins.Heard("main", News.T0.minusSeconds(7))),
            Optional.of(true),
            Optional.of(News.T0.minusSeconds(95)));
    TankState told =
        new TankState(
            full.tank(),
            full.time(),
            full.newestReading(),
            full.oxygenMgPerL(),
            full.saturationPercent(),
            full.temperatureC(),
            full.gasFlowLPerMin(),
            full.slopeMgPerLPerMin(),
            full.demandMgPerKgPerHour(),
            full.timeInHand(),
            full.timeInHandIfGasStops(),
            full.alarms(),
            new TankChecks(
                TankChecks.Trust.TRUSTED,
                TankChecks.Supply.NORMAL,
                OptionalDouble.empty(),
                OptionalDouble.empty(),
                OptionalDouble.empty(),
                origins));

    assertThat(StateReader.read(WatchJson.state(told))).isEqualTo(told);
  }

  @Test
  void alarmOfACauseThatIsNotKnownYet_isLeftOutAndTheRestIsRead() throws JsonProcessingException {
    String newer = WatchJson.state(News.full()).replace("gas-line-stopped", "moon-too-full");

    assertThat(StateReader.read(newer).alarms())
        .singleElement()
        .isEqualTo(News.full().alarms().get(1));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "[]",
        "7",
        "null",
        "{}",
        "{\"tank\":7}",
        "{\"tank\":\"h1\",\"time\":\"yesterday\",\"timeInHand\":\"holding\"}",
        "{\"tank\":\"h1\",\"time\":\"2026-03-14T02:11:07Z\",\"timeInHand\":\"minutes\"}"
      })
  void otherJson_isRefusedInWords(String json) {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> StateReader.read(json))
        .withMessageMatching("a tank state needs .*|.* is not a time");
  }

  @Test
  void textThatIsNoJson_isRefused() {
    assertThatThrownBy(() -> StateReader.read("offline"))
        .isInstanceOf(JsonProcessingException.class);
  }

  private static TankState with(TankState s, OptionalDouble slope, OptionalDouble oxygen) {
    return new TankState(
        s.tank(),
        s.time(),
        s.newestReading(),
        oxygen,
        s.saturationPercent(),
        s.temperatureC(),
        s.gasFlowLPerMin(),
        slope,
        s.demandMgPerKgPerHour(),
        s.timeInHand(),
        s.timeInHandIfGasStops(),
        s.alarms());
  }
}
