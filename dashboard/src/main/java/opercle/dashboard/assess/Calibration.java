// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.function.Function;
import opercle.analysis.watch.TimeInHand;
import opercle.dashboard.assess.NightRecord.Look;

/**
 * Whether the time in hand that the watch stated held the true time to the critical floor. Each
 * harmful night weighs the same, however long its fall took. A band is meant to hold eight in ten.
 *
 * @param what which of the two times, and when
 * @param nights that had one
 * @param shares of each verdict, adding up to 1
 * @param medianSpread median of high over low bound of the bands stated, above zero: a band that
 *     always holds because it is wide helps nobody
 */
record Calibration(
    String what, int nights, Map<Verdict, Double> shares, OptionalDouble medianSpread) {

  /** How a stated time in hand compares with the true one. */
  enum Verdict {
    /** The truth lies in the band. */
    HELD("held"),
    /** The whole band is longer than the truth: it promised time that was not there. */
    TOO_LONG("too long"),
    /** The whole band is shorter than the truth. */
    TOO_SHORT("too short"),
    /** It said that the floor would not be reached. */
    SAID_HOLDING("holding"),
    /** It said that it could not say. */
    SAID_NOTHING("unknown");

    private final String title;

    Verdict(String title) {
      this.title = title;
    }

    /** A short title for a column. */
    String title() {
      return title;
    }

    /** The key in JSON, for instance {@code too-long}. */
    String id() {
      return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }
  }

  static Verdict judge(TimeInHand stated, double trueMinutes) {
    if (stated instanceof TimeInHand.Minutes m) {
      return m.minutes().low() > trueMinutes
          ? Verdict.TOO_LONG
          : m.minutes().high() < trueMinutes ? Verdict.TOO_SHORT : Verdict.HELD;
    }
    return stated instanceof TimeInHand.Holding ? Verdict.SAID_HOLDING : Verdict.SAID_NOTHING;
  }

  static List<Calibration> all(List<NightRecord> nights) {
    List<NightRecord> harmful = nights.stream().filter(NightRecord::isHarmful).toList();
    List<NightRecord> gasLost =
        harmful.stream().filter(n -> Signature.losesAllGasAtOnset(n.kind())).toList();
    return List.of(
        of("as things go, at the alarm", harmful, Calibration::atTheAlarm, Look::asThingsGo),
        of("as things go, every minute", harmful, Calibration::everyMinute, Look::asThingsGo),
        of("if gas stops, at the alarm", gasLost, Calibration::atTheAlarm, Look::ifGasStops),
        of("if gas stops, every minute", gasLost, Calibration::everyMinute, Look::ifGasStops));
  }

  private static Calibration of(
      String what,
      List<NightRecord> nights,
      Function<NightRecord, List<Look>> looks,
      Function<Look, TimeInHand> stated) {
    Map<Verdict, Double> shares = new EnumMap<>(Verdict.class);
    for (Verdict verdict : Verdict.values()) {
      shares.put(verdict, 0.0);
    }
    List<NightRecord> looked = nights.stream().filter(n -> !looks.apply(n).isEmpty()).toList();
    List<Double> spreads = new ArrayList<>();
    for (NightRecord night : looked) {
      List<Look> ofNight = looks.apply(night);
      double weight = 1.0 / (looked.size() * ofNight.size());
      for (Look look : ofNight) {
        double trueMinutes = night.minutesToHarm(look.at()).orElseThrow();
        shares.merge(judge(stated.apply(look), trueMinutes), weight, Double::sum);
        if (stated.apply(look) instanceof TimeInHand.Minutes m && m.minutes().low() > 0.0) {
          spreads.add(m.minutes().high() / m.minutes().low());
        }
      }
    }
    return new Calibration(
        what, looked.size(), shares, Quantiles.median(spreads.stream().mapToDouble(d -> d)));
  }

  private static List<Look> atTheAlarm(NightRecord night) {
    return Detection.noticing(night).map(t -> List.of(t.look())).orElse(List.of());
  }

  private static List<Look> everyMinute(NightRecord night) {
    Instant onset = night.onset().orElseThrow();
    List<Look> looks = new ArrayList<>();
    for (Look look : night.looks()) {
      if (!look.at().isBefore(onset) && look.at().isBefore(night.deadline())) {
        looks.add(look);
      }
    }
    return looks;
  }
}
