// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Comparator;
import java.util.List;
import java.util.Random;
import opercle.analysis.farm.Tank;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class PathsTest {

  private static final Expected ANY = Expected.of(Tank.Kind.HOLDING, 0.5, 3.0, null);

  /** A fall that has settled low and never ended goes on being heard for days. */
  @Test
  void fallOfDays_stillHasWaysOn() {
    Course course = Course.EMPTY;
    for (double s = 0.0; s < 6 * 86_400.0; s += 30.0) {
      course = course.next(s, 5.5 + Math.exp(-s / 600.0));
    }

    List<Paths.Path> paths =
        Paths.through(
            course,
            6 * 86_400.0,
            0.05,
            Expected.of(Tank.Kind.HOLDING, 1.0, Double.POSITIVE_INFINITY, null));

    assertThat(paths).isNotEmpty();
    assertThat(paths.stream().mapToDouble(Paths.Path::weight).sum()).isCloseTo(1.0, within(1e-6));
    assertThat(paths).allMatch(p -> Double.isFinite(p.mgPerL()) && Double.isFinite(p.rateSd()));
  }

  @Test
  void course_staysSmall_howeverLongTheFall() {
    Course course = Course.EMPTY;
    double sum = 0.0;
    for (int i = 0; i < 9_000; i++) { // as far back as anybody looks, nothing is lost
      course = course.next(i, 0.001 * i);
      sum += 0.001 * i;
    }

    double readings = 0.0;
    double total = 0.0;
    for (int i = 0; i < course.size(); i++) {
      readings += course.get(i).readings();
      total += course.get(i).readings() * course.get(i).mgPerL();
    }
    assertThat(course.size()).isLessThanOrEqualTo(Course.MOST);
    assertThat(readings).isEqualTo(9_000.0);
    assertThat(total).isCloseTo(sum, within(1e-3));
  }

  /** What a night-long fall does now is not told as what it did ten minutes ago. */
  @Test
  void newestStretch_isOfTheLastMinutes_howeverLongTheFall() {
    Course course = Course.EMPTY;
    for (int s = 0; s <= 12 * 3600; s += 5) {
      course = course.next(s, 9.0 - s * 1e-4);
      if (s > 3600) {
        Course.Stretch newest = course.get(course.size() - 1);
        assertThat(s - newest.seconds()).isLessThanOrEqualTo(Course.LONGEST_SECONDS);
        assertThat(course.size()).isLessThanOrEqualTo(Course.MOST);
      }
    }
    // Five memories of half an hour are looked at.
    assertThat(12 * 3600 - course.get(0).seconds()).isGreaterThan(5.0 * 1800.0);
  }

  /** 10 mg/L falling towards 4 at first at 0.2 (mg/L)/min: by the rate, k is 2 1/h. */
  @Test
  void fallThatSlackens_isSeenToSlacken() {
    Course course = Course.EMPTY;
    Random random = new Random(5);
    double k = 2.0 / 60.0;
    for (int t = 0; t < 2400; t += 5) {
      double c = 4.0 + 6.0 * Math.exp(-k * t / 60.0);
      course = course.next(t, c + 0.03 * random.nextGaussian());
    }
    List<Paths.Path> paths = Paths.through(course, 2400.0, 0.03, ANY);
    Paths.Path best = paths.stream().max(Comparator.comparingDouble(Paths.Path::weight)).get();

    assertThat(60.0 * best.perMinute()).isBetween(1.6, 3.1);
    assertThat(best.ratePerMinute()).isCloseTo(0.2 * Math.exp(-k * 40.0), within(0.01));
    assertThat(paths.stream().mapToDouble(Paths.Path::weight).sum()).isCloseTo(1.0, within(1e-9));
  }

  @ParameterizedTest
  @ValueSource(doubles = {0.05, 0.3})
  void straightFall_isNeverThoughtToLevelSoon(double rate) {
    Course course = Course.EMPTY;
    Random random = new Random(6);
    for (int t = 0; t < 1800; t += 5) {
      course = course.next(t, 10.0 - rate * t / 60.0 + 0.03 * random.nextGaussian());
    }

    double soon =
        Paths.through(course, 1800.0, 0.03, ANY).stream()
            .filter(p -> 60.0 * p.perMinute() >= 1.7)
            .mapToDouble(Paths.Path::weight)
            .sum();
    assertThat(soon).isLessThan(0.15);
  }

  @Test
  void shortCourse_hasNoPaths() {
    assertThat(Paths.through(Course.EMPTY.next(0.0, 9.0), 5.0, 0.03, ANY)).isEmpty();
  }
}
