// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class TopicPatternTest {

  @ParameterizedTest
  @CsvSource({
    "tanks/h1/#, tanks/h1/oxygen, true",
    "tanks/h1/#, tanks/h1/oxygen/2, true",
    "tanks/h1/#, tanks/h1, true",
    "tanks/h1/#, tanks/h10/oxygen, false",
    "tanks/h1/#, tanks/h2/oxygen, false",
    "tanks/h1/#, tanks, false",
    "tanks/h1/#, /tanks/h1/oxygen, false",
    "tanks/h1/#, tanks//h1/oxygen, false",
    "tanks/h1/#, tanks/h1/../h2/oxygen, true", // nobody climbs in MQTT: it is a level of that name
    "tanks/h1/#, Tanks/h1/oxygen, false",
    "tanks/h1/#, tanks/h1/+, false",
    "tanks/h1/#, tanks/h1/#, false",
    "tanks/h1/#, tanks/+/oxygen, false",
    "tanks/h1/oxygen, tanks/h1/oxygen, true",
    "tanks/h1/oxygen, tanks/h1/oxygen/, false",
    "tanks/+/oxygen, tanks/h2/oxygen, true",
    "tanks/+/oxygen, tanks/h2/x/oxygen, false",
  })
  void topic(String pattern, String topic, boolean allowed) {
    assertThat(TopicPattern.of(pattern).allowsTopic(topic)).isEqualTo(allowed);
  }

  @ParameterizedTest
  @CsvSource({
    "opercle/#, opercle/#, true",
    "opercle/#, opercle/sallowmere/tank/+/state, true",
    "opercle/#, #, false",
    "opercle/#, +/#, false",
    "opercle/#, opercle, true",
    "opercle/#, opercle/+, true",
    "opercle/#, opercle/a#, false",
    "opercle/#, opercle/#/a, false",
    "opercle/#, $share/opercle-serve/opercle/#, false",
    "opercle/#, $SYS/#, false",
    "tanks/+/oxygen, tanks/+/oxygen, true",
    "tanks/+/oxygen, tanks/#, false",
    "tanks/+/oxygen, tanks/+/+, false",
    "tanks/h1/oxygen, tanks/+/oxygen, false",
  })
  void filter(String pattern, String filter, boolean allowed) {
    assertThat(TopicPattern.of(pattern).allowsFilter(filter)).isEqualTo(allowed);
  }

  @Test
  void signsWithAMeaningInsideTheBroker_areNobodysRight() {
    TopicPattern all = TopicPattern.of("tanks/h1/#");
    assertThat(all.allowsTopic("tanks/h1/a\u0000b")).isFalse();
    assertThat(all.allowsTopic("tanks/h1/a\nb")).isFalse();
    assertThat(all.allowsTopic("tanks/h1/a\\/b")).isFalse();
    assertThat(all.allowsTopic("tanks/h1/a::opercle-serve.tanks.#")).isFalse();
    assertThat(all.allowsTopic("tanks/h1/" + "x".repeat(60_000))).isFalse();
    assertThat(all.allowsTopic("")).isFalse();
  }

  /** What a filter allows it allows topic by topic as well. */
  @Test
  void filterWithin_neverMatchesATopicOutside() {
    Random random = new Random(7);
    String[] words = {"tanks", "h1", "h2", "+", "#", "", "oxygen", "$SYS"};
    int within = 0;
    for (int i = 0; i < 1_000_000; i++) {
      TopicPattern pattern = anyPattern(random, words);
      String filter = any(random, words);
      String topic = any(random, words);
      if (pattern != null && pattern.allowsFilter(filter) && matches(filter, topic)) {
        within++;
        assertThat(pattern.allowsTopic(topic)).as("%s of %s", topic, filter).isTrue();
      }
    }
    assertThat(within).isGreaterThan(1_000);
  }

  private static String any(Random random, String[] words) {
    StringBuilder text = new StringBuilder(words[random.nextInt(words.length)]);
    for (int levels = random.nextInt(4); levels > 0; levels--) {
      text.append('/').append(words[random.nextInt(words.length)]);
    }
    return text.toString();
  }

  private static @Nullable TopicPattern anyPattern(Random random, String[] words) {
    try {
      return TopicPattern.of(any(random, words));
    } catch (IllegalArgumentException e) {
      return null;
    }
  }

  /** MQTT 5, section 4.7, by itself. */
  private static boolean matches(String filter, String topic) {
    if (topic.contains("+") || topic.contains("#") || topic.startsWith("$") || topic.isEmpty()) {
      return false;
    }
    String regex =
        filter
            .replace("+", "[^/]*")
            .replaceAll("/#$", "(/.*)?")
            .replaceAll("^#$", ".*")
            .replace("$", "\\$");
    return topic.matches(regex);
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "a/#/b", "a+", "#a", "a\\b", "a::b", "a\u0000"})
  void filterThatIsNone_isRefused(String filter) {
    assertThatThrownBy(() -> TopicPattern.of(filter)).isInstanceOf(IllegalArgumentException.class);
  }
}
