// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Predicate;
import opercle.ingest.reading.Measured;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Rejection;
import opercle.ingest.reading.Rejection.Reason;
import opercle.ingest.reading.Units;

/**
 * The front door for the readings of one message: every check that holds for all forms of payload.
 * One thread only, one message only.
 */
final class Intake {

  /** Nothing that measures water over MQTT has a clock from before this. */
  private static final Instant EARLIEST = Instant.parse("2000-01-01T00:00:00Z");

  private static final Duration FURTHEST_AHEAD = Duration.ofDays(1);
  private static final int LONGEST_SOURCE = 200;

  private final String source;
  private final Instant arrived;
  private final boolean retained;
  private final Predicate<String> knownTank;
  private final List<Reading> readings = new ArrayList<>(1);
  private final List<Rejection> rejections = new ArrayList<>(0);

  Intake(String topic, Instant arrived, boolean retained, Predicate<String> knownTank) {
    this.source = topic;
    this.arrived = arrived;
    this.retained = retained;
    this.knownTank = knownTank;
  }

  Instant arrived() {
    return arrived;
  }

  /** Takes a value whose time is the time of arrival plus {@code offset}. */
  void takeAtArrival(
      String where, Place place, double value, Optional<String> unit, Duration offset) {
    if (retained) {
      reject(
          Reason.NO_TIME,
          "%s%s: a retained message without a time of its own may be hours old; have the probe send"
              + " its readings with their times (RFC 8428), or publish without the retain flag",
          where,
          place.quantity().id());
      return;
    }
    take(where, place, value, unit, arrived.plus(offset));
  }

  /** Takes a value that carries its own time. */
  void take(String where, Place place, double given, Optional<String> unit, Instant time) {
    Quantity quantity = place.quantity();
    if (!isNameSane(where, "tank", place.tank()) || !isNameSane(where, "probe", place.probe())) {
      return;
    }
    if (!knownTank.test(place.tank())) {
      reject(
          Reason.UNKNOWN_TANK,
          "%sthe farm has no tank \"%s\"; add it, or correct the probe's topic",
          where,
          place.tank());
      return;
    }
    if (!Double.isFinite(given)) {
      reject(
          Reason.NOT_A_NUMBER,
          "%s%s is %s; it must be a finite number of %s",
          where,
          quantity.id(),
          given,
          unit.orElse(quantity.unit()));
      return;
    }
    Optional<Measured> converted =
        unit.isEmpty()
            ? Optional.of(new Measured(quantity, given))
            : Units.toCanonical(quantity, given, unit.get());
    if (converted.isEmpty()) {
      reject(
          Reason.UNKNOWN_UNIT,
          "%s%s has no unit \"%s\"; it has %s",
          where,
          quantity.id(),
          Names.shown(unit.orElse("")),
          Units.accepted(quantity));
      return;
    }
    Measured measured = converted.get();
    if (!measured.quantity().isPlausible(measured.value())) {
      reject(
          Reason.OUT_OF_RANGE,
          "%s%s of %s %s is outside the plausible %s to %s %s",
          where,
          measured.quantity().id(),
          measured.value(),
          measured.quantity().unit(),
          measured.quantity().lowestPlausible(),
          measured.quantity().highestPlausible(),
          measured.quantity().unit());
      return;
    }
    if (time.isBefore(EARLIEST) || time.isAfter(arrived.plus(FURTHEST_AHEAD))) {
      reject(
          Reason.IMPLAUSIBLE_TIME,
          "%s%s has the time %s; it must be after %s and no more than %d h ahead of its arrival at"
              + " %s; set the probe's clock",
          where,
          quantity.id(),
          time,
          EARLIEST,
          FURTHEST_AHEAD.toHours(),
          arrived);
      return;
    }
    readings.add(
        new Reading(place.tank(), measured.quantity(), place.probe(), time, measured.value()));
  }

  private boolean isNameSane(String where, String field, String name) {
    if (Names.isSane(name)) {
      return true;
    }
    reject(
        Reason.BAD_NAME,
        "%s%s \"%s\" is not a name: %s",
        where,
        field,
        Names.shown(name),
        Names.RULE);
    return false;
  }

  /** Notes why a message or a record was not taken; {@code detail} and its arguments are shown. */
  @SuppressWarnings("AnnotateFormatMethod") // the annotation would be a dependency for one use
  void reject(Reason reason, String detail, Object... arguments) {
    rejections.add(
        new Rejection(
            reason, Names.shown(source, LONGEST_SOURCE), detail.formatted(arguments), arrived));
  }

  Decoded decoded() {
    return new Decoded(readings, rejections);
  }
}
