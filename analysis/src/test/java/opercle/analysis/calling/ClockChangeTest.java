// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalTime;
import java.util.List;
import java.util.Optional;
import opercle.analysis.alarm.Priority;
import opercle.analysis.calling.Call.Kind;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The nights of 2026 on which clocks change in Great Britain: 29 March forward, 25 October back.
 */
class ClockChangeTest {

  @ParameterizedTest
  @CsvSource({
    "2026-03-28T23:00:00Z, 2026-03-29T06:00:00Z", // 07:00 BST
    "2026-10-24T22:00:00Z, 2026-10-25T07:00:00Z", // 07:00 GMT
  })
  void nightsNews_isToldOnceAtSevenByTheWall(Instant evening, Instant seven) {
    Night night =
        new Night(
            Night.plan(List.of(new Person("Ines", List.of("mail"), Optional.empty()))), evening);
    night.hear(new News.Happened(night.raised("h1", Priority.MEDIUM, 600)));
    night.pass(Duration.ofHours(14));

    assertThat(night.told).hasSize(1);
    assertThat(night.told.get(0).call().kind()).isEqualTo(Kind.MORNING);
    assertThat(night.told.get(0).at()).isEqualTo(seven);
  }

  @ParameterizedTest
  @CsvSource({
    "2026-03-29T00:59:50Z", // 00:59:50; ten seconds later it is 02:00
    "2026-10-25T00:59:50Z", // 01:59:50; ten seconds later it is 01:00 again
  })
  void urgentCalls_keepTheirPaceOverTheChange(Instant start) {
    Night night = new Night(Night.plan(Night.THREE), start);
    night.hear(new News.Happened(night.high("h2", 15)));
    night.pass(Duration.ofMinutes(3));

    assertThat(night.told).hasSize(1 + 2 + 4 + 5);
  }

  @ParameterizedTest
  @CsvSource({
    "2026-03-28T20:00:00Z, 2026-03-29T01:00:00Z", // 01:30 does not exist: an hour later, 02:30 BST
    "2026-10-24T20:00:00Z, 2026-10-25T00:30:00Z", // 01:30 comes twice: the first
  })
  void testAtAnHourThatIsMissingOrDouble_isMadeOnce(Instant evening, Instant about) {
    TestTimes times = new TestTimes(LocalTime.of(1, 30), Optional.empty());
    Instant next = times.nextAfter(evening, Night.LONDON);

    assertThat(Duration.between(about, next)).isBetween(Duration.ZERO, Duration.ofMinutes(30));
    assertThat(Duration.between(next, times.nextAfter(next, Night.LONDON)))
        .isGreaterThanOrEqualTo(Duration.ofHours(22));
  }
}
