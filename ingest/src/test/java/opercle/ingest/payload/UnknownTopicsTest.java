// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import opercle.ingest.payload.UnknownTopics.Found;
import opercle.ingest.payload.UnknownTopics.Seen;
import org.junit.jupiter.api.Test;

class UnknownTopicsTest {

  private static final Instant START = Instant.parse("2026-03-14T02:00:00Z");

  private final UnknownTopics unknown = new UnknownTopics();

  private void heard(String topic, String payload, double second) {
    unknown.heard(
        topic,
        payload.getBytes(StandardCharsets.UTF_8),
        START.plusMillis(Math.round(second * 1000)));
  }

  private Seen only() {
    assertThat(unknown.all()).hasSize(1);
    return unknown.all().get(0);
  }

  @Test
  void bareNumber_isOneValueOfTheWholeMessage() {
    heard("shed/probe7", "8.62", 0);

    assertThat(only().values()).containsExactly(new Found("", 8.62));
    assertThat(only().everySeconds()).isEmpty();
  }

  @Test
  void json_everyNumberIsFoundByItsPointer() {
    heard("shed/probe7", "{\"do\":8.62,\"t\":{\"water/C\":\"12.5\"},\"name\":\"probe\"}", 0);

    assertThat(only().values())
        .containsExactly(new Found("/do", 8.62), new Found("/t/water~1C", 12.5));
  }

  @Test
  void everyFiveSeconds_isSaidSo() {
    for (int i = 0; i < 20; i++) {
      heard("shed/probe7", Integer.toString(i), 5.0 * i);
    }

    assertThat(only().count()).isEqualTo(20);
    assertThat(only().everySeconds().orElseThrow()).isCloseTo(5.0, within(1e-9));
    assertThat(only().shown()).isEqualTo("19");
    assertThat(only().last()).isEqualTo(START.plusSeconds(95));
  }

  @Test
  void flood_isCountedButLookedIntoOnceASecond() {
    heard("shed/probe7", "1", 0);
    heard("shed/probe7", "2", 0.5);

    assertThat(only().count()).isEqualTo(2);
    assertThat(only().shown()).isEqualTo("1");
  }

  @Test
  void moreTopicsThanAreKept_theOneHeardLongestAgoGoes() {
    for (int i = 0; i <= UnknownTopics.MOST; i++) {
      heard("topic" + i, "1", i);
      heard("topic0", "1", i);
    }

    assertThat(unknown.all()).hasSize(UnknownTopics.MOST);
    assertThat(unknown.all()).extracting(Seen::topic).contains("topic0").doesNotContain("topic1");
  }

  @Test
  void whatCannotBeRead_isShownAndHasNoValue() {
    heard("a", "{\"broken\":", 0);
    unknown.heard("b", new byte[] {(byte) 0xff, 0}, START);
    unknown.heard("c", new byte[70_000], START);

    assertThat(unknown.all())
        .extracting(Seen::shown)
        .containsExactly("{\"broken\":", "2 bytes that are no text", "70000 bytes");
    assertThat(unknown.all()).allSatisfy(seen -> assertThat(seen.values()).isEmpty());
  }
}
