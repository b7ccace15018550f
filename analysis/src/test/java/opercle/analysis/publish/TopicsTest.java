// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.publish.TankAct.OnAlarm.What;
import opercle.analysis.watch.TankEvent;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The topics of the contract, and what people's acts on them say. */
class TopicsTest {

  private static final String ACKNOWLEDGE =
      "opercle/Sallowmere/tank/h1/alarm/oxygen-low/acknowledge";

  private final Topics topics = new Topics("Sallowmere");
  private final ActTopics acts = new ActTopics(topics);

  @Test
  void topics_areThoseOfTheContract() {
    assertThat(topics.state("h1")).isEqualTo("opercle/Sallowmere/tank/h1/state");
    assertThat(topics.alarm("h1", AlarmCause.GAS_LINE_STOPPED))
        .isEqualTo("opercle/Sallowmere/tank/h1/alarm/gas-line-stopped");
    assertThat(topics.monitor()).isEqualTo("opercle/Sallowmere/monitor");
    assertThat(acts.topic(act(What.ACKNOWLEDGE, "Robin"))).isEqualTo(ACKNOWLEDGE);
  }

  @Test
  void filters_areTheTopicsOfAllTanks() {
    assertThat(topics.stateFilter()).isEqualTo("opercle/Sallowmere/tank/+/state");
    assertThat(topics.alarmFilter()).isEqualTo("opercle/Sallowmere/tank/+/alarm/+");
    assertThat(acts.filters())
        .containsExactly(
            "opercle/Sallowmere/tank/+/alarm/+/+",
            "opercle/Sallowmere/tank/+/out-of-service",
            "opercle/Sallowmere/tank/+/return-to-service",
            "opercle/Sallowmere/tank/+/event");
  }

  @Test
  void alarmTopic_isThatOfItsTankAlone() {
    String topic = topics.alarm("h1", AlarmCause.OXYGEN_LOW);

    assertThat(topics.isAlarmOf("h1", topic)).isTrue();
    assertThat(topics.isAlarmOf("h", topic)).isFalse();
    assertThat(topics.isAlarmOf("h1", topics.state("h1"))).isFalse();
  }

  static List<TankAct> everyAct() {
    Optional<AlarmCause> warm = Optional.of(AlarmCause.WATER_WARM);
    List<TankAct> all = new ArrayList<>();
    for (What what : What.values()) {
      all.add(
          new TankAct.OnAlarm(
              "h1",
              AlarmCause.OXYGEN_LOW,
              what,
              "Robin \"the\" Keeper",
              what == What.SHELVE ? Optional.of(Duration.ofMinutes(20)) : Optional.empty()));
    }
    all.add(new TankAct.TakeOutOfService("h1", warm, "new probe", "Robin", Duration.ofMinutes(90)));
    all.add(
        new TankAct.TakeOutOfService(
            "h1", Optional.empty(), "emptied", "Robin", Duration.ofMinutes(90)));
    all.add(new TankAct.ReturnToService("h1", warm, "Robin"));
    all.add(new TankAct.ReturnToService("h1", Optional.empty(), "Robin"));
    for (TankEvent.Kind kind : TankEvent.Kind.values()) {
      all.add(new TankAct.Note("h1", kind, "Robin"));
    }
    return all;
  }

  @ParameterizedTest
  @MethodSource("everyAct")
  void act_comesBackAsItWas(TankAct act) {
    assertThat(acts.read(acts.topic(act), ActTopics.payload(act, "7").getBytes(UTF_8)))
        .contains(act);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "alarm/oxygen-low/shelve      | {\"by\":\"Robin\"}",
        "alarm/oxygen-low/shelve      | {\"by\":\"Robin\",\"minutes\":0}",
        "alarm/oxygen-low/shelve      | {\"by\":\"Robin\",\"minutes\":\"ten\"}",
        "alarm/oxygen-low/shelve      | {\"by\":\"Robin\",\"minutes\":1.5}",
        "out-of-service               | {\"by\":\"Robin\",\"minutes\":5,\"cause\":\"moon\"}",
        "out-of-service               | {\"reason\":\"x\",\"minutes\":5}",
        "return-to-service            | {}",
        "event                        | {\"by\":\"Robin\",\"kind\":\"danced\"}",
        "event                        | {\"kind\":\"fed\"}"
      })
  void actThatLacksSomething_isNone(String end, String payload) {
    assertThat(acts.read("opercle/Sallowmere/tank/h1/" + end, payload.getBytes(UTF_8))).isEmpty();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        "Robin",
        "{",
        "[]",
        "{}",
        "{\"by\":\"  \"}",
        "{\"by\":null}",
        "{\"by\":\"a\\u001b[2Jb\"}",
        "{\"by\":\"xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx\"}"
      })
  void acknowledgementWithoutAReadableName_isNone(String payload) {
    assertThat(acts.read(ACKNOWLEDGE, payload.getBytes(UTF_8))).isEmpty();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "opercle/Sallowmere/tank/h1/alarm/oxygen-low",
        "opercle/Sallowmere/tank/h1/alarm/no-such-cause/acknowledge",
        "opercle/Elsewhere/tank/h1/alarm/oxygen-low/acknowledge",
        "opercle/Sallowmere/tank/h1/alarm/oxygen-low/acknowledge/x",
        "opercle/Sallowmere/tank/h1/alarm/oxygen-low/forget",
        "opercle/Sallowmere/tank/h1/state",
        ""
      })
  void otherTopic_isNoAcknowledgement(String topic) {
    byte[] payload = ActTopics.payload(act(What.ACKNOWLEDGE, "Robin"), "7").getBytes(UTF_8);

    assertThat(acts.read(topic, payload)).isEmpty();
  }

  private static TankAct act(What what, String by) {
    return TankAct.OnAlarm.of("h1", AlarmCause.OXYGEN_LOW, what, by);
  }

  @Test
  void answer_comesBackAsItWasSent() {
    for (ActTopics.Answer answer :
        List.of(
            new ActTopics.Answer("7", Optional.empty()),
            new ActTopics.Answer("a-B_9", Optional.of("Nothing else watches this tank.")))) {
      assertThat(ActTopics.Answer.read(answer.payload().getBytes(UTF_8))).contains(answer);
    }
    assertThat(ActTopics.Answer.read("offline".getBytes(UTF_8))).isEmpty();
  }

  /** It becomes a level of a topic. */
  @ParameterizedTest
  @ValueSource(strings = {"", "+", "#", "a/b", "a b", "é"})
  void id_thatIsNoPlainWord_isNone(String id) {
    byte[] payload = "{\"by\":\"Robin\",\"id\":\"%s\"}".formatted(id).getBytes(UTF_8);

    assertThat(ActTopics.id(payload)).isEmpty();
    assertThat(ActTopics.id("{\"by\":\"Robin\",\"id\":\"b-1\"}".getBytes(UTF_8))).contains("b-1");
  }
}
