// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;

class ProgressBarTest {

  private final StringWriter err = new StringWriter();
  private long nowNanos;

  private ProgressBar bar(long total, boolean shown) {
    return new ProgressBar(new PrintWriter(err), total, shown, () -> nowNanos);
  }

  private void later(long millis) {
    nowNanos += TimeUnit.MILLISECONDS.toNanos(millis);
  }

  @Test
  void bar_growsInPlaceAndIsWipedAtTheEnd() {
    try (ProgressBar bar = bar(200, true)) {
      later(150);
      bar.advance(50);
      assertThat(err.toString()).isEqualTo("\r[" + "#".repeat(10) + "-".repeat(30) + "]  25 %");
    }

    assertThat(err.toString()).endsWith("%\r" + " ".repeat(50) + "\r").doesNotContain("\n");
  }

  @Test
  void bar_isNotRedrawnMoreThanTenTimesASecond() {
    try (ProgressBar bar = bar(1000, true)) {
      for (int i = 0; i < 1000; i++) {
        later(1);
        bar.advance(1);
      }
      assertThat(err.toString().chars().filter(c -> c == '%').count()).isEqualTo(10);
    }
  }

  @Test
  void moreThanTheTotalOrNoTotal_isHundredPercent() {
    try (ProgressBar bar = bar(0, true)) {
      later(150);
      bar.advance(7);
      assertThat(err.toString()).endsWith("100 %");
    }
  }

  @Test
  void lineInBetween_standsAlone() {
    try (ProgressBar bar = bar(200, true)) {
      later(150);
      bar.advance(50);
      bar.say("trip.csv:3: value: \"nine\" is not a number");

      assertThat(err.toString())
          .contains("\r" + " ".repeat(50) + "\rtrip.csv:3: value: \"nine\" is not a number");
    }
  }

  @Test
  void withoutATerminal_onlyTheLinesAreWritten() throws IOException {
    try (ProgressBar bar = bar(3, false);
        InputStream in = bar.counting(new ByteArrayInputStream(new byte[3]))) {
      later(150);
      assertThat(in.read()).isZero();
      assertThat(in.read(new byte[8])).isEqualTo(2);
      assertThat(in.read()).isNegative();
      bar.say("a line");
    }

    assertThat(err.toString().lines()).containsExactly("a line");
  }

  @Test
  void bytesRead_moveTheBar() throws IOException {
    try (ProgressBar bar = bar(4, true);
        InputStream in = bar.counting(new ByteArrayInputStream(new byte[4]))) {
      assertThat(in.read()).isZero();
      later(150);
      assertThat(in.read(new byte[2], 0, 2)).isEqualTo(2);

      assertThat(err.toString()).endsWith(" 75 %");
    }
  }
}
