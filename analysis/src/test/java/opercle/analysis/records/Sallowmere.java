// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;

/** The records of a made-up farm, to be added to. */
final class Sallowmere {

  static final ZoneId ZONE = ZoneId.of("Europe/London");
  static final Instant MORNING = Instant.parse("2026-11-20T08:00:00Z");

  static final String STEW = "water-stew-2";
  static final String LONG_WATER = "water-long";
  static final String STILL_WATER = "water-still";
  static final String RIVER = "water-river";

  private final List<Recorded> all = new ArrayList<>();

  Sallowmere() {
    add(STEW, water("Stew 2", Water.Type.POND, Water.Connection.CONNECTED));
    add(LONG_WATER, water("Long Water", Water.Type.FISHERY, Water.Connection.CONNECTED));
    add(STILL_WATER, water("Still Water", Water.Type.FISHERY, Water.Connection.NOT_SAID));
    add(RIVER, water("the Sallow", Water.Type.OPEN_WATER, Water.Connection.CONNECTED));
    add(
        "permit-farm",
        permit(Permit.Type.FARM_AUTHORISATION, "FA-1", Optional.of(STEW), Optional.empty()));
    add(
        "permit-fishery",
        permit(
            Permit.Type.FISHERY_REGISTRATION, "FR-7", Optional.of(LONG_WATER), Optional.empty()));
    add(
        "permit-site",
        permit(Permit.Type.SITE_PERMIT, "SP-114", Optional.of(LONG_WATER), Optional.empty()));
    add(
        "permit-supplier",
        permit(
            Permit.Type.SUPPLIER_PERMIT,
            "SU-3",
            Optional.empty(),
            Optional.of(LocalDate.of(2026, 12, 31))));
    add("check-carp", check("HC-88", "Common carp", LocalDate.of(2026, 9, 1)));
  }

  void withdraw(String id, Entry entry, String why) {
    all.add(
        new Recorded(
            id + "-gone",
            all.size() + 1L,
            Instant.parse("2026-11-01T09:00:00Z"),
            "Maren",
            Optional.of(new Recorded.Correction(id, why, true)),
            entry));
  }

  static Water water(String name, Water.Type type, Water.Connection connection) {
    return new Water(
        name,
        type,
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        connection,
        Optional.empty());
  }

  static Permit permit(
      Permit.Type type, String reference, Optional<String> water, Optional<LocalDate> until) {
    return new Permit(
        type,
        reference,
        water,
        Optional.empty(),
        Optional.empty(),
        until,
        Optional.empty(),
        Optional.empty());
  }

  static HealthCheck check(String reference, String species, LocalDate sampled) {
    return new HealthCheck(
        reference, STEW, species, sampled, Optional.empty(), Optional.empty(), Optional.empty());
  }

  Sallowmere add(String id, Entry entry) {
    return add(id, entry, Optional.empty());
  }

  Sallowmere add(String id, Entry entry, Optional<Recorded.Correction> correction) {
    long number = all.size() + 1L;
    all.add(new Recorded(id, number, MORNING.plusSeconds(number), "Maren", correction, entry));
    return this;
  }

  Records records() {
    return Records.of(all);
  }

  /** Carp from the stew to Long Water on 20 November with every paper. */
  static Movement complete() {
    return carp(
        STEW,
        LONG_WATER,
        new Movement.Papers(
            Optional.empty(),
            Optional.empty(),
            List.of("permit-farm", "permit-fishery", "permit-site", "permit-supplier"),
            List.of("check-carp"),
            Optional.of("CN-12"),
            Optional.of("Sent 16 November")));
  }

  static Movement carp(String from, String to, Movement.Papers papers) {
    return new Movement(
        "Common carp",
        OptionalLong.of(120),
        OptionalDouble.of(180),
        Optional.of(from),
        Optional.of(to),
        MORNING,
        MORNING.plusSeconds(3 * 3600),
        OptionalLong.empty(),
        new Movement.Means(Optional.empty(), Optional.empty(), OptionalDouble.of(30)),
        papers,
        Optional.of("Tanks and nets, in the yard, 19 November, by Tove"),
        Optional.empty(),
        Optional.empty());
  }

  /** So many fish, in an hour. */
  static Movement moved(
      String species, OptionalLong count, Optional<String> from, Optional<String> to, Instant at) {
    return new Movement(
        species,
        count,
        count.isPresent() ? OptionalDouble.empty() : OptionalDouble.of(10),
        from,
        to,
        at,
        at.plusSeconds(3600),
        OptionalLong.empty(),
        Movement.Means.NOT_SAID,
        Movement.Papers.NONE,
        Optional.empty(),
        Optional.empty(),
        Optional.empty());
  }
}
