// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class AlarmGuideTest {

  @ParameterizedTest
  @EnumSource(AlarmCause.class)
  void everyAlarm_hasAWholeRow(AlarmCause cause) {
    AlarmGuide guide = AlarmGuide.of(cause);

    assertThat(guide.cause()).isEqualTo(cause);
    assertThat(guide.title()).matches("[A-Z][^.]{4,40}");
    assertThat(guide.causes()).isNotEmpty().allMatch(text -> text.matches("[a-z].*[^.]"));
    assertThat(guide.actions()).isNotEmpty().doesNotHaveDuplicates();
    assertThat(
            List.of(
                guide.ifIgnored(),
                guide.toBeSure(),
                guide.timeAvailable(),
                guide.priorityRule(),
                guide.setPoint(),
                guide.delays()))
        .allMatch(text -> text.matches("[A-Z0-9].*\\."));
    assertThat(guide.priorityRule()).containsPattern("(?i)high|medium|low");
  }

  @ParameterizedTest
  @EnumSource(FirstAction.class)
  void firstAction_isOneShortSentence_inPlainWords(FirstAction action) {
    String sentence = action.sentence();

    assertThat(sentence).hasSizeLessThanOrEqualTo(95).matches("[A-Z][^.!?]*\\.");
    assertThat(sentence.toLowerCase(java.util.Locale.ROOT))
        .doesNotContain("acknowledge", "sensor", "threshold", "ensure", "verify", "parameter");
  }

  @Test
  void everyFirstAction_belongsToAnAlarm() {
    Set<FirstAction> used = EnumSet.noneOf(FirstAction.class);
    AlarmGuide.all().forEach(guide -> used.addAll(guide.actions()));

    assertThat(used).containsExactlyInAnyOrder(FirstAction.values());
  }

  @Test
  void aLostSupply_isLatched_andNothingElse() {
    assertThat(AlarmGuide.all().stream().filter(AlarmGuide::latches).map(AlarmGuide::cause))
        .containsExactly(AlarmCause.GAS_LINE_STOPPED, AlarmCause.GAS_NOT_REACHING_WATER);
  }

  @Test
  void titles_areAllDifferent() {
    assertThat(Stream.of(AlarmCause.values()).map(cause -> AlarmGuide.of(cause).title()))
        .doesNotHaveDuplicates();
  }
}
