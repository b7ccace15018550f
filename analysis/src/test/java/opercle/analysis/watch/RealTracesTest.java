// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.ingest.reading.Quantity;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Loggers in real streams: day and night, gaps, real probe faults, and never a gas supply. */
class RealTracesTest {

  @ParameterizedTest
  @ValueSource(strings = {"stream_french_creek.csv", "stream_spring_creek.csv"})
  void stream_hasNoGasAlarm(String file) {
    List<AlarmEvent> events = replay(file);

    assertThat(events)
        .extracting(AlarmEvent::cause)
        .doesNotContain(AlarmCause.GAS_LINE_STOPPED, AlarmCause.GAS_NOT_REACHING_WATER);
  }

  private static List<AlarmEvent> replay(String file) {
    FarmWatch watch = new FarmWatch(SallowmereTanks.farm(SallowmereTanks.holding()));
    List<AlarmEvent> events = new ArrayList<>();
    for (double[] row : rows(file)) {
      events.addAll(watch.tick(SallowmereTanks.at(row[0])));
      events.addAll(
          watch.accept(SallowmereTanks.reading("h1", Quantity.TEMPERATURE, row[0], row[2])));
      events.addAll(watch.accept(SallowmereTanks.reading("h1", Quantity.OXYGEN, row[0], row[1])));
    }
    return events;
  }

  private static List<double[]> rows(String file) {
    InputStream in = Objects.requireNonNull(RealTracesTest.class.getResourceAsStream(file), file);
    try (BufferedReader reader =
        new BufferedReader(new InputStreamReader(in, StandardCharsets.UTF_8))) {
      return reader
          .lines()
          .filter(line -> !line.isEmpty() && Character.isDigit(line.charAt(0)))
          .map(RealTracesTest::numbers)
          .toList();
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(file, e);
    }
  }

  private static double[] numbers(String line) {
    String[] fields = line.split(",", -1);
    double[] row = new double[fields.length];
    for (int i = 0; i < row.length; i++) {
      row[i] = Double.parseDouble(fields[i]);
    }
    return row;
  }
}
