// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.ArrayList;
import java.util.List;

/**
 * The course of a fall since it began, as means over equal stretches of time. A value; at most
 * {@link #MOST} stretches. When there are more they double in length, up to {@link
 * #LONGEST_SECONDS}, so that the newest stays news; from then on the oldest is forgotten. Its size
 * does not grow however long the fall lasts.
 *
 * @param stretchSeconds length of a stretch
 * @param open the stretch that is being filled
 * @param done those that are full, oldest first
 */
record Course(double stretchSeconds, Stretch open, List<Stretch> done) {

  static final int MOST = 60;

  /** Sixty of these reach further back than {@link Paths} looks. */
  static final double LONGEST_SECONDS = 160.0;

  /** The course of a fall that nothing is known of yet. */
  static final Course EMPTY = new Course(10.0, Stretch.EMPTY, List.of());

  /**
   * A stretch of time.
   *
   * @param readings how many fell into it
   * @param seconds their mean time, seconds since the fall began
   * @param mgPerL their mean
   */
  record Stretch(double readings, double seconds, double mgPerL) {

    static final Stretch EMPTY = new Stretch(0.0, 0.0, 0.0);

    Stretch with(Stretch other) {
      double n = readings + other.readings;
      return new Stretch(
          n,
          (readings * seconds + other.readings * other.seconds) / n,
          (readings * mgPerL + other.readings * other.mgPerL) / n);
    }
  }

  Course {
    done = List.copyOf(done);
  }

  /** Takes a reading, so many seconds after the fall began. */
  Course next(double seconds, double mgPerL) {
    Stretch reading = new Stretch(1.0, seconds, mgPerL);
    boolean same =
        open.readings == 0.0
            || Math.floor(seconds / stretchSeconds) <= Math.floor(open.seconds / stretchSeconds);
    if (same) {
      return new Course(stretchSeconds, open.with(reading), done);
    }
    List<Stretch> more = new ArrayList<>(done);
    more.add(open);
    if (more.size() < MOST) {
      return new Course(stretchSeconds, reading, more);
    }
    if (stretchSeconds >= LONGEST_SECONDS) {
      return new Course(stretchSeconds, reading, more.subList(1, more.size()));
    }
    List<Stretch> pairs = new ArrayList<>(MOST / 2);
    for (int i = 0; i + 1 < more.size(); i += 2) {
      pairs.add(more.get(i).with(more.get(i + 1)));
    }
    return new Course(2.0 * stretchSeconds, reading, pairs);
  }

  /** How many stretches it has, with the open one. */
  int size() {
    return done.size() + (open.readings > 0.0 ? 1 : 0);
  }

  /** A stretch; the first is the oldest. */
  Stretch get(int i) {
    return i < done.size() ? done.get(i) : open;
  }
}
