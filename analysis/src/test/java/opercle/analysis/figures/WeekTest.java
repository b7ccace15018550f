// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.figures;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Weeks against a printed calendar, and the two in which clocks change in the European Union. */
class WeekTest {

  private static final ZoneId WARSAW = ZoneId.of("Europe/Warsaw");

  @ParameterizedTest
  @CsvSource({
    "2026-W01, 2025-12-29", // its Thursday is 1 January
    "2026-W13, 2026-03-23",
    "2026-W53, 2026-12-28", // a long year: it begins on a Thursday
    "2027-W01, 2027-01-04",
    "2024-W09, 2024-02-26" // with the 29th
  })
  void weekById_beginsOnItsMonday(String id, LocalDate monday) {
    Week week = Week.of(id, WARSAW);

    assertThat(week.monday()).isEqualTo(monday);
    assertThat(week.id()).isEqualTo(id);
    assertThat(week.before().after()).isEqualTo(week);
  }

  @ParameterizedTest
  @ValueSource(strings = {"2025-W53", "2026-W00", "2026-W54", "2026-13", "2026-W1", "last", ""})
  void whatIsNoWeek_isRefused(String text) {
    assertThatThrownBy(() -> Week.of(text, WARSAW))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("'" + text + "' is not a week");
  }

  @ParameterizedTest
  @CsvSource({
    "2026-W13, 2026-03-22T23:00:00Z, 2026-03-29T22:00:00Z, 167", // forward on the 29th
    "2026-W14, 2026-03-29T22:00:00Z, 2026-04-05T22:00:00Z, 168",
    "2026-W43, 2026-10-18T22:00:00Z, 2026-10-25T23:00:00Z, 169" // back on the 25th
  })
  void week_isAsLongAsTheFarmsClockSays(String id, Instant start, Instant end, double hours) {
    Week week = Week.of(id, WARSAW);

    assertThat(week.start()).isEqualTo(start);
    assertThat(week.end()).isEqualTo(end);
    assertThat(week.hoursUntil(end.plusSeconds(1))).isEqualTo(hours);
    assertThat(week.hoursUntil(start.plusSeconds(5400))).isCloseTo(1.5, within(1e-9));
    assertThat(week.hoursUntil(start.minusSeconds(1))).isZero();
    assertThat(Week.of(start, WARSAW)).isEqualTo(week);
    assertThat(Week.of(end.minusMillis(1), WARSAW)).isEqualTo(week);
    assertThat(Week.of(end, WARSAW)).isEqualTo(week.after());
  }

  @ParameterizedTest
  @CsvSource({
    "2026-03-28T20:59:59Z, false", // 21:59:59 in winter
    "2026-03-28T21:00:00Z, true",
    "2026-03-29T03:59:59Z, true", // 05:59:59 in summer, of a night one hour shorter
    "2026-03-29T04:00:00Z, false",
    "2026-03-29T19:59:59Z, false",
    "2026-03-29T20:00:00Z, true",
    "2026-10-25T04:59:59Z, true", // 05:59:59 in winter, of a night one hour longer
    "2026-10-25T05:00:00Z, false"
  })
  void night_isByTheFarmsClock(Instant time, boolean night) {
    assertThat(Week.of(time, WARSAW).isNight(time)).isEqualTo(night);
  }

  @Test
  void nights_countFromTheirEvenings() {
    Week week = Week.of("2026-W13", WARSAW);

    assertThat(week.nightsBegunBy(week.start())).isZero();
    assertThat(week.nightsBegunBy(Instant.parse("2026-03-23T21:00:00Z"))).isEqualTo(1);
    assertThat(week.nightsBegunBy(Instant.parse("2026-03-25T12:00:00Z"))).isEqualTo(2);
    assertThat(week.nightsBegunBy(week.end())).isEqualTo(7);
  }
}
