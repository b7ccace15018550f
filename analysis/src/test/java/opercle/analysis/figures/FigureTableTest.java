// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.figures;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.Priority;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The figures of a week as somebody who keeps fish reads them. */
class FigureTableTest {

  /** Of 168 hours. */
  private static final Week WEEK = Week.of("2026-W14", ZoneId.of("Europe/Warsaw"));

  private static String value(AlarmFigures figures, String id) {
    return FigureTable.of(figures).stream()
        .filter(r -> r.id().equals(id))
        .findFirst()
        .orElseThrow()
        .value();
  }

  /** One call in a week of 168 hours is 0.00099 in ten minutes, which nobody can picture. */
  @ParameterizedTest
  @CsvSource({
    "1, one in 7 days, one in 7 days",
    "4, one in 42 hours, one in 42 hours",
    "150, one in 67 minutes, 21 in a day",
    "168, 1.0 in an hour, 24 in a day"
  })
  void howOften_isSaidSoThatItCanBePictured(int calls, String hourly, String daily) {
    Story story = new Story();
    for (int i = 0; i < calls; i++) {
      String time = WEEK.start().plusSeconds(1800L * i).toString();
      story.raised(time, "h1", AlarmCause.OXYGEN_LOW, Priority.LOW);
    }
    AlarmFigures figures =
        AlarmFigures.of(WEEK, WEEK.end(), story.occurrences(), List.of(), Optional.empty());

    assertThat(value(figures, "per-hour")).isEqualTo(hourly);
    assertThat(value(figures, "per-day")).isEqualTo(daily);
  }

  /** The names of standards and "mean" say nothing to a keeper; docs/alarms.md has them. */
  @Test
  void figures_areInTheKeepersWords() {
    AlarmFigures quiet =
        AlarmFigures.of(WEEK, WEEK.end(), new Story().occurrences(), List.of(), Optional.empty());

    assertThat(FigureTable.of(quiet))
        .allSatisfy(
            row ->
                assertThat(row.measure() + row.value() + row.expected() + row.source())
                    .doesNotContain("ISA", "EEMUA", "HSE", "mean", "flood", "median"));
  }
}
