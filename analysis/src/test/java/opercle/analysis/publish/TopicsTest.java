// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.publish.AcknowledgementTopic.Acknowledgement;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The topics of the contract, and what an acknowledgement on one of them says. */
class TopicsTest {

  private static final String ACKNOWLEDGE =
      "opercle/Sallowmere/tank/h1/alarm/oxygen-low/acknowledge";

  private final Topics topics = new Topics("Sallowmere");

  @Test
  void topics_areThoseOfTheContract() {
    assertThat(topics.state("h1")).isEqualTo("opercle/Sallowmere/tank/h1/state");
    assertThat(topics.alarm("h1", AlarmCause.GAS_LINE_STOPPED))
        .isEqualTo("opercle/Sallowmere/tank/h1/alarm/gas-line-stopped");
    assertThat(topics.monitor()).isEqualTo("opercle/Sallowmere/monitor");
    assertThat(topics.acknowledge("h1", AlarmCause.OXYGEN_LOW)).isEqualTo(ACKNOWLEDGE);
  }

  @Test
  void filters_areTheTopicsOfAllTanks() {
    assertThat(topics.stateFilter()).isEqualTo("opercle/Sallowmere/tank/+/state");
    assertThat(topics.alarmFilter()).isEqualTo("opercle/Sallowmere/tank/+/alarm/+");
    assertThat(topics.acknowledgeFilter())
        .isEqualTo("opercle/Sallowmere/tank/+/alarm/+/acknowledge");
  }

  @Test
  void alarmTopic_isThatOfItsTankAlone() {
    String topic = topics.alarm("h1", AlarmCause.OXYGEN_LOW);

    assertThat(topics.isAlarmOf("h1", topic)).isTrue();
    assertThat(topics.isAlarmOf("h", topic)).isFalse();
    assertThat(topics.isAlarmOf("h1", topics.state("h1"))).isFalse();
  }

  @Test
  void acknowledgement_namesTankCauseAndPerson() {
    byte[] payload = AcknowledgementTopic.payload("Robin \"the\" Keeper").getBytes(UTF_8);

    assertThat(AcknowledgementTopic.read(topics, ACKNOWLEDGE, payload))
        .contains(new Acknowledgement("h1", AlarmCause.OXYGEN_LOW, "Robin \"the\" Keeper"));
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
    assertThat(AcknowledgementTopic.read(topics, ACKNOWLEDGE, payload.getBytes(UTF_8))).isEmpty();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "opercle/Sallowmere/tank/h1/alarm/oxygen-low",
        "opercle/Sallowmere/tank/h1/alarm/no-such-cause/acknowledge",
        "opercle/Elsewhere/tank/h1/alarm/oxygen-low/acknowledge",
        "opercle/Sallowmere/tank/h1/alarm/oxygen-low/acknowledge/x",
        "opercle/Sallowmere/tank/h1/alarm/oxygen-low/shelve",
        ""
      })
  void otherTopic_isNoAcknowledgement(String topic) {
    byte[] payload = AcknowledgementTopic.payload("Robin").getBytes(UTF_8);

    assertThat(AcknowledgementTopic.read(topics, topic, payload)).isEmpty();
  }
}
