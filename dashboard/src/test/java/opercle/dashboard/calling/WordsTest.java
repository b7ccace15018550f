// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Optional;
import opercle.analysis.alarm.AlarmGuide;
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
  void test_isMarkedEverywhere() {
    Message message = Made.message(Kind.TEST);

    assertThat(message.subject()).startsWith("TEST: ");
    assertThat(message.body()).contains("This is a TEST.");
    assertThat(message.spoken()).contains("test");
    assertThat(CallJson.of(message)).contains("\"test\":true");
    assertThat(CapXml.of(message)).contains("<status>Test</status>");
  }
}
