// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.ZoneId;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.RecordBook.Outcome;
import opercle.analysis.records.Entry;
import opercle.analysis.records.EntryFields;
import opercle.analysis.records.Recorded.Correction;

/** A few records of the made-up farm in a book, and their addresses. */
final class KeptRecords {

  static final String STEW = "water-stew-2";
  static final String LONG_WATER = "water-long";
  static final String SOLD = "move-sold-carp";

  private final RecordBook records;

  KeptRecords(FarmBook book) {
    records = new RecordBook(book, "Sallowmere");
    keep(STEW, Entry.Kind.WATER, Map.of("name", "Stew 2", "type", "pond", "site", "Sallowmere"));
    keep(
        LONG_WATER,
        Entry.Kind.WATER,
        Map.of("name", "Long Water", "type", "fishery", "connection", "connected"));
    keep(
        "permit-farm",
        Entry.Kind.PERMIT,
        Map.of("type", "farm-authorisation", "reference", "FA-1", "water", STEW));
    keep(
        "permit-supplier",
        Entry.Kind.PERMIT,
        Map.of("type", "supplier-permit", "reference", "SU-3", "until", "2026-03-20"));
    keep(
        "check-carp",
        Entry.Kind.HEALTH_CHECK,
        Map.of(
            "reference", "HC-88",
            "water", STEW,
            "species", "Common carp",
            "sampled", "2025-10-01"));
    keep(
        "move-counted-in",
        Entry.Kind.MOVEMENT,
        Map.of(
            "species", "Common carp",
            "count", 100,
            "to", STEW,
            "departs", "2026-03-01T08:00:00Z",
            "arrives", "2026-03-01T08:00:00Z"));
    keep(SOLD, Entry.Kind.MOVEMENT, sold(120));
    Outcome corrected =
        records.keep(
            "move-sold-carp-b",
            "Tove",
            FakeFarm.NIGHT,
            Optional.of(new Correction(SOLD, "Counted again at the net", false)),
            EntryFields.read(Entry.Kind.MOVEMENT, sold(118)));
    assertThat(corrected).isInstanceOf(Outcome.Kept.class);
  }

  private static Map<String, Object> sold(int count) {
    return Map.of(
        "species",
        "Common carp",
        "count",
        count,
        "kg",
        180.5,
        "from",
        STEW,
        "to",
        LONG_WATER,
        "departs",
        "2026-03-10T08:00:00Z",
        "arrives",
        "2026-03-10T10:30:00Z",
        "permits",
        List.of("permit-farm", "permit-supplier"),
        "healthChecks",
        List.of("check-carp"));
  }

  private void keep(String id, Entry.Kind kind, Map<String, ?> fields) {
    Outcome outcome =
        records.keep(id, "Maren", FakeFarm.NIGHT, Optional.empty(), EntryFields.read(kind, fields));
    assertThat(outcome).as(id).isNotInstanceOf(Outcome.Refused.class);
  }

  /** Their addresses. */
  RecordsApi api() {
    return new RecordsApi(
        () -> Optional.of(records), ZoneId.of("Europe/London"), () -> FakeFarm.NIGHT, "Sallowmere");
  }
}
