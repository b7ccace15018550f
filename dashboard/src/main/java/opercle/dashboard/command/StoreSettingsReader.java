// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.Duration;
import opercle.ingest.settings.Section;

/** Reads what {@code opercle.yaml} says of the readings store. */
final class StoreSettingsReader {

  /** A season: a full disk would stop the watch, which is worse than a past without seconds. */
  static final int DEFAULT_KEPT_DAYS = 90;

  /** Two years, a sixtieth of the rows: this season beside the last. */
  static final int DEFAULT_KEPT_MINUTE_DAYS = 730;

  private static final int MOST_KEPT_DAYS = 36_500;

  private StoreSettingsReader() {}

  /** Reads the keys of the whole file that are about the store. */
  static StoreSettings read(Section top) {
    int readings =
        top.optionalWhole("keepDays", "days", 0, MOST_KEPT_DAYS).orElse(DEFAULT_KEPT_DAYS);
    int usual = readings == 0 ? 0 : Math.max(readings, DEFAULT_KEPT_MINUTE_DAYS);
    int minutes = top.optionalWhole("keepMinuteDays", "days", 0, MOST_KEPT_DAYS).orElse(usual);
    if (minutes > 0 && (readings == 0 || minutes < readings)) {
      top.problem(
          "keepMinuteDays",
          "%d days is less than keepDays, %s: the minutes take their readings with them"
              .formatted(minutes, readings == 0 ? "which is 0 (for ever)" : readings + " days"));
    }
    return new StoreSettings.Sqlite(Duration.ofDays(readings), Duration.ofDays(minutes));
  }
}
