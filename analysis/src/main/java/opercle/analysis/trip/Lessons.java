// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.OptionalInt;
import opercle.analysis.Band;

/**
 * What to do otherwise next time, in words, each with the number that it stands on. Limits without
 * a source are <i>common practice</i>.
 */
final class Lessons {

  private static final double PROBE_OFF_MG_PER_L = 0.5;
  private static final double PROBE_OFF_C = 1.0;
  private static final Duration LONG_WITHOUT_A_CHECK = Duration.ofMinutes(90);
  private static final Duration MUCH_UNKNOWN = Duration.ofMinutes(5);
  private static final double LATE_SHARE = 0.2;
  private static final Duration SLOW_TO_TELL = Duration.ofMinutes(5);

  private static final String FIND =
      " Find what came off or shut then, and check it at every loading.";

  private final Review review;
  private final Trip trip;
  private final DateTimeFormatter clock;
  private final List<Lesson> lessons = new ArrayList<>();

  private Lessons(Review review, ZoneId zone) {
    this.clock = DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ROOT).withZone(zone);
    this.review = review;
    this.trip = review.log().trip();
  }

  /** All that a review teaches, the gravest first. */
  static List<Lesson> of(Review review, ZoneId zone) {
    Lessons all = new Lessons(review, zone);
    all.losses();
    all.floors();
    all.failures();
    all.fish();
    all.demand();
    all.supersaturation();
    all.cylinder();
    all.probe();
    all.checks();
    all.unknown();
    all.late();
    return all.lessons;
  }

  private void say(double value, String unit, String words, Object... values) {
    lessons.add(new Lesson(String.format(Locale.ROOT, words, values), value, unit));
  }

  private void losses() {
    review
        .log()
        .unloaded()
        .ifPresent(
            out -> {
              for (TripEntry.Loss loss : out.losses()) {
                OptionalInt count = loss.count();
                if (count.orElse(-1) == 0) {
                  continue; // none, and somebody said so
                }
                String name = loss.species().commonName();
                if (count.isPresent()) {
                  say(
                      count.getAsInt(),
                      "fish",
                      "%d %s did not live. Look below for why, and write the cause into the note.",
                      count.getAsInt(),
                      name);
                } else {
                  loss.kg()
                      .ifPresent(
                          kg ->
                              say(
                                  kg,
                                  "kg",
                                  "%.1f kg of %s did not live. Look below for why.",
                                  kg,
                                  name));
                }
              }
            });
  }

  private void floors() {
    review
        .oxygen()
        .ifPresent(
            o -> {
              double critical = minutes(o.belowCritical());
              double keep = minutes(o.belowKeep());
              if (critical > 0.0) {
                say(
                    critical,
                    "min",
                    "%s below the critical floor of %.1f mg/L; the lowest was %.2f mg/L at %s. Fish"
                        + " are harmed there: carry fewer, or have the spare line and cylinder at"
                        + " hand before the alarm.",
                    span(o.belowCritical()),
                    trip.limits().criticalMgPerL(),
                    o.lowestMgPerL(),
                    clock.format(o.lowestAt()));
              } else if (keep > 0.0) {
                say(
                    keep,
                    "min",
                    "%s below the keep floor of %.1f mg/L; the lowest was %.2f mg/L at %s. %s",
                    span(o.belowKeep()),
                    trip.limits().keepMgPerL(),
                    o.lowestMgPerL(),
                    clock.format(o.lowestAt()),
                    review.failure().isPresent()
                        ? "It came from the failure below."
                        : "Set more gas at loading, or carry fewer fish.");
              }
            });
  }

  private void failures() {
    review.failures().stream()
        .sorted(Comparator.comparing(Failure::at))
        .forEach(
            f -> {
              say(
                  -f.slopeAfterMgPerLPerHour() / 60.0,
                  "mg/L/min",
                  "At %s, give or take %d s, oxygen began to fall by %.2f mg/L a minute.%s",
                  clock.format(f.at()),
                  f.tolerance().toSeconds(),
                  -f.slopeAfterMgPerLPerHour() / 60.0,
                  meter(f));
              if (f.toldAt().isEmpty()) {
                say(
                    0.0,
                    "alarms",
                    "The watch raised no alarm about it. See that it listens to this tank, and that"
                        + " the load written down is right.");
              } else {
                Duration after = f.toldAfter().orElseThrow();
                if (after.compareTo(SLOW_TO_TELL) > 0) {
                  say(
                      minutes(after),
                      "min",
                      "The watch told of it after %s. A second probe, or a gas meter, tells sooner.",
                      span(after));
                }
              }
            });
  }

  private static String meter(Failure f) {
    if (f.meterStopped().isPresent()) {
      return " The gas meter stopped too: look between cylinder and meter." + FIND;
    }
    if (f.meterRose()) {
      return String.format(
          Locale.ROOT,
          " The gas meter rose from %.1f to %.1f L/min: gas escaped, look behind the meter for a"
              + " split hose."
              + FIND,
          f.meterBefore().orElse(0.0),
          f.meterAfter().orElse(0.0));
    }
    if (f.meterFell()) {
      return String.format(
          Locale.ROOT,
          " Less gas came: the meter went from %.1f to %.1f L/min. If somebody turned it down, turn"
              + " it down by less; if nobody did, look at the valve and between cylinder and meter.",
          f.meterBefore().orElse(0.0),
          f.meterAfter().orElse(0.0));
    }
    return (f.meterBefore().isPresent()
            ? " The gas meter showed nothing of it: look behind the meter, at hose and diffuser."
            : " There was no gas meter to say where: look along the whole line.")
        + FIND;
  }

  private void fish() {
    for (TripEntry.StopCheck check : review.checks()) {
      if (check.fish().isBad()) {
        say(
            minutes(Duration.between(review.from(), check.time())),
            "min",
            "At %s, %s after loading, the fish were %s. Stop and give gas at the first sign, and"
                + " do not drive on before they are down.",
            clock.format(check.time()),
            span(Duration.between(review.from(), check.time())),
            check.fish().words());
      }
    }
  }

  private void demand() {
    review
        .demand()
        .filter(MeasuredDemand::isSure) // else too unsure to change anything by
        .ifPresent(
            d -> {
              Band measured = d.mgPerKgPerHour();
              trip.plan()
                  .ifPresent(
                      plan -> {
                        Band planned = plan.demandMgPerKgPerHour();
                        boolean more = measured.low() > planned.likely();
                        boolean less = measured.high() < planned.likely();
                        if (more || less) {
                          say(
                              measured.likely(),
                              "mg/kg/h",
                              "The fish breathed %.0f mg of oxygen an hour for each kg, likely"
                                  + " between %.0f and %.0f, in water of %.1f °C: %s than the"
                                  + " plan's %.0f. Plan the next load of them with the measured"
                                  + " rate.",
                              measured.likely(),
                              measured.low(),
                              measured.high(),
                              d.temperatureC(),
                              more ? "more" : "less",
                              planned.likely());
                        }
                      });
              review
                  .earlier()
                  .filter(e -> measured.low() > e.mgPerKgPerHour().high())
                  .ifPresent(
                      e ->
                          say(
                              measured.likely() / e.mgPerKgPerHour().likely(),
                              "times",
                              "That is %.1f times what %d earlier %s of these fish showed: were they"
                                  + " fed, chased or unwell?",
                              measured.likely() / e.mgPerKgPerHour().likely(),
                              e.trips(),
                              e.trips() == 1 ? "trip" : "trips"));
            });
  }

  private void supersaturation() {
    review
        .oxygen()
        .filter(o -> !o.aboveUpper().isZero())
        .ifPresent(
            o ->
                say(
                    minutes(o.aboveUpper()),
                    "min",
                    "%s above %.0f %% of saturation, %.0f %% at most. Set less gas once the fish"
                        + " have settled.",
                    span(o.aboveUpper()),
                    trip.limits().upperPercent(),
                    o.highestPercent().orElse(0.0)));
  }

  private void cylinder() {
    GasFigures gas = review.gas();
    double reserve = trip.plan().map(TripPlan::reserveBar).orElse(50.0);
    if (gas.barAtEnd().isPresent() && gas.barAtEnd().getAsDouble() < reserve) {
      say(
          gas.barAtEnd().getAsDouble(),
          "bar",
          "%.0f bar were left in the cylinder, under the reserve of %.0f. Take a second one. Secure"
              + " it, and keep oil and grease away: oxygen feeds fire.",
          gas.barAtEnd().getAsDouble(),
          reserve);
    }
    gas.plannedLitres()
        .filter(p -> gas.usedLitres().isPresent() && gas.usedLitres().getAsDouble() > p.high())
        .ifPresent(
            p ->
                say(
                    gas.usedLitres().getAsDouble(),
                    "L",
                    "%.0f L of gas were used; the plan gave at most %.0f. Look for a leak, or for a"
                        + " fouled diffuser.",
                    gas.usedLitres().getAsDouble(),
                    p.high()));
  }

  private void probe() {
    for (MeterCheck check : review.meters()) {
      double off = check.probeReadsHighBy();
      double most = check.quantity().equals("oxygen") ? PROBE_OFF_MG_PER_L : PROBE_OFF_C;
      if (Math.abs(off) > most) {
        say(
            off,
            check.unit(),
            "The %s probe read %.1f %s %s than the hand meter at %s. Clean and calibrate it, and"
                + " check the hand meter too.",
            check.quantity(),
            Math.abs(off),
            check.unit(),
            off > 0.0 ? "higher" : "lower",
            clock.format(check.at()));
      }
    }
  }

  private void checks() {
    if (trip.kind() != Trip.Kind.ROAD) {
      return;
    }
    Duration longest = Duration.ZERO;
    Instant last = review.from();
    for (TripEntry.StopCheck check : review.checks()) {
      longest = longer(longest, Duration.between(last, check.time()));
      last = check.time();
    }
    longest = longer(longest, Duration.between(last, review.to()));
    if (longest.compareTo(LONG_WITHOUT_A_CHECK) > 0) {
      say(
          minutes(longest),
          "min",
          "%s went by without a look at the fish. Stop sooner; the probe does not see how they"
              + " lie.",
          span(longest));
    }
  }

  private void unknown() {
    if (review.oxygen().isEmpty()) {
      say(
          minutes(review.length()),
          "min",
          "Nothing is known of the oxygen, for all %s: no reading of it was kept. Look at the"
              + " probe's cable, power and link before the next trip.",
          span(review.length()));
    }
    review
        .oxygen()
        .filter(o -> o.unknown().compareTo(MUCH_UNKNOWN) > 0)
        .ifPresent(
            o ->
                say(
                    minutes(o.unknown()),
                    "min",
                    "For %s nothing is known of the oxygen, in %d %s. Look at the probe's cable,"
                        + " power and link.",
                    span(o.unknown()),
                    o.gaps().size(),
                    o.gaps().size() == 1 ? "stretch" : "stretches"));
  }

  private void late() {
    if (trip.expectedMinutes().isPresent() && review.log().unloaded().isPresent()) {
      double took = minutes(review.length());
      double expected = trip.expectedMinutes().getAsDouble();
      if (took > expected * (1.0 + LATE_SHARE)) {
        say(
            took - expected,
            "min",
            "The trip took %.0f min, %.0f more than expected. Plan the next with the longer time.",
            took,
            took - expected);
      }
    }
  }

  private static Duration longer(Duration a, Duration b) {
    return a.compareTo(b) >= 0 ? a : b;
  }

  static double minutes(Duration length) {
    return length.toMillis() / 60_000.0;
  }

  /** A length as people say it: 45 s, 12 min, 2 h 5 min. */
  static String span(Duration length) {
    long seconds = length.toSeconds();
    if (seconds < 90) {
      return seconds + " s";
    }
    long whole = Math.round(seconds / 60.0);
    return whole < 120
        ? whole + " min"
        : "%d h%s".formatted(whole / 60, whole % 60 == 0 ? "" : " %d min".formatted(whole % 60));
  }
}
