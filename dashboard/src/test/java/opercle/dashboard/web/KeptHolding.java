// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.ZoneId;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.RecordBook.Outcome;
import opercle.analysis.records.Entry;
import opercle.analysis.records.EntryFields;

/** What was done at a holding tank of the made-up farm, and its addresses. */
final class KeptHolding {

  private KeptHolding() {}

  static HoldingApi in(FarmBook book, LiveFarm farm, PastAlarms past) {
    return in(book, farm, past, ZoneId.of("Europe/London"));
  }

  /** The same by another clock. */
  static HoldingApi in(FarmBook book, LiveFarm farm, PastAlarms past, ZoneId zone) {
    RecordBook records = new RecordBook(book, "Sallowmere");
    String yesterday = FakeFarm.NIGHT.minusSeconds(20 * 3600).toString();
    keep(records, "feed-0001", Entry.Kind.FEED, Map.of("kg", 0.3, "time", yesterday));
    keep(
        records,
        "test-0001",
        Entry.Kind.WATER_TEST,
        Map.of("tanMgPerL", 0.8, "ph", 7.6, "alkalinityMgPerL", 120, "time", yesterday));
    keep(
        records,
        "bath-0001",
        Entry.Kind.TREATMENT,
        Map.of(
            "what", "A bath against fungus",
            "amount", "20 mL",
            "reason", "white tufts",
            "withdrawal", "as the vet wrote on the label",
            "until", "2026-03-30",
            "time", yesterday));
    return new HoldingApi(farm, () -> Optional.of(records), past, new FakeTraces(), zone);
  }

  private static void keep(
      RecordBook records, String id, Entry.Kind kind, Map<String, Object> more) {
    Map<String, Object> fields = new java.util.HashMap<>(more);
    fields.put("tank", "h2");
    fields.put("tankName", "Holding 2");
    Outcome outcome =
        records.keep(id, "Maren", FakeFarm.NIGHT, Optional.empty(), EntryFields.read(kind, fields));
    assertThat(outcome).as(id).isNotInstanceOf(Outcome.Refused.class);
  }
}
