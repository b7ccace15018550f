// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmGuide;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.calling.Call;
import opercle.analysis.calling.Call.Kind;
import org.junit.jupiter.api.Test;

class WordsTest {

  private final Words words = new Words(Made.farm());

  @Test
  void subject_saysTankWhatAndMinutes_cutNotRounded() {
    assertThat(words.subject(Made.call(Kind.ALARM, false)))
        .isEqualTo("Holding 2: gas has stopped, 9 min");
  }

  @Test
  void body_saysWhatToDo_withTheCaution() {
    assertThat(Made.message().body())
        .contains("Go and get the blower running.")
        .endsWith(AlarmGuide.BLOWER_CAUTION);
  }

  @Test
  void driver_hearsOneSentence_andIsToldToStop() {
    Message message = words.message(Made.call(Kind.ALARM, true), Optional.empty());

    assertThat(message.spoken())
        .isEqualTo("Holding 2: gas has stopped, about 9 minutes. Stop when it is safe.");
  }

  @Test
  void putAside_isNotSaidToBeHad() {
    Message message = words.message(taken(AlarmState.SHELVED), Optional.empty());

    assertThat(message.subject()).isEqualTo("Holding 2: Maren has put it aside for a while");
    assertThat(message.body())
        .startsWith("Maren has put it aside for a while. Nobody is called for it")
        .doesNotContain("You need not go");
    assertThat(message.spoken()).isEqualTo("Holding 2: Maren has put it aside for a while.");
    assertThat(words.subject(taken(AlarmState.ACKNOWLEDGED))).isEqualTo("Holding 2: Maren has it");
  }

  private static Call taken(AlarmState state) {
    AlarmEvent e = Made.alarm();
    AlarmEvent now =
        new AlarmEvent(
            e.time(),
            e.tank(),
            e.cause(),
            AlarmEvent.Kind.SHELVED,
            e.priority(),
            state,
            e.timeInHandMinutes(),
            e.oxygenMgPerL(),
            e.message());
    return new Call(
        "key",
        "Tomas",
        "mail",
        Kind.TAKEN,
        e.time(),
        false,
        1,
        List.of(now),
        List.of(),
        "",
        Optional.of("Maren"),
        Set.of());
  }

  @Test
  void severalAlarms_areNotCountedAsTanks() {
    Call call =
        new Call(
            "key",
            "Tomas",
            "mail",
            Kind.MORE,
            Made.NIGHT,
            false,
            1,
            List.of(Made.alarm(), Made.alarm(), Made.alarm()),
            List.of(),
            "",
            Optional.empty(),
            Set.of());

    assertThat(words.subject(call))
        .isEqualTo("Holding 2: gas has stopped, 9 min, and 2 more alarms");
  }

  @Test
  void test_isMarkedEverywhere() {
    Message message = Made.message(Kind.TEST);

    assertThat(message.subject()).startsWith("TEST: ");
    assertThat(message.body()).contains("This is a TEST.");
    assertThat(message.spoken()).contains("test");
    assertThat(CallJson.of(message)).contains("\"test\":true");
    assertThat(CapXml.of(message)).contains("<status>Test</status>");
  }
}
