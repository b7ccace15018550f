// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import opercle.ingest.settings.Section;
import opercle.ingest.settings.UnusableInputException;
import opercle.ingest.settings.YamlFile;
import opercle.ingest.store.InfluxSettings;
import opercle.ingest.store.InfluxSettings.Place;
import org.jspecify.annotations.Nullable;

/** Reads what {@code opercle.yaml} says of the readings store. */
final class StoreSettingsReader {

  /** A season: a full disk would stop the watch, which is worse than a past without seconds. */
  static final int DEFAULT_KEPT_DAYS = 90;

  /** Two years, a sixtieth of the rows: this season beside the last. */
  static final int DEFAULT_KEPT_MINUTE_DAYS = 730;

  private static final int MOST_KEPT_DAYS = 36_500;

  /** A restart plays the last day, and a page shows it: neither must wait for a network. */
  private static final int LEAST_HOURS = 25;

  private static final int DEFAULT_HOURS = 48;

  /** Twelve tanks with three probes at one reading in five seconds fill 17 MB in a day. */
  private static final int DEFAULT_MEGABYTES = 1_000;

  private static final int LEAST_MEGABYTES = 20;

  private StoreSettingsReader() {}

  /**
   * Reads the keys of the whole file that are about the store.
   *
   * @param folder what paths are relative to
   */
  static StoreSettings read(Section top, Path folder) {
    Optional<Section> store = top.optionalSection("store");
    Optional<StoreSettings> influx =
        store.flatMap(s -> s.optionalSection("influxdb")).map(s -> influx(s, folder));
    store.ifPresent(Section::finish);
    if (influx.isPresent()) {
      for (String key : List.of("keepDays", "keepMinuteDays")) {
        if (top.has(key)) {
          top.problem(key, "goes with SQLite only: set the retention of the buckets in InfluxDB");
        }
      }
      return influx.get();
    }
    return sqlite(top);
  }

  private static StoreSettings influx(Section s, Path folder) {
    URI url = url(s);
    String bucket = s.text("bucket");
    String minuteBucket = s.optionalText("minuteBucket").orElse(bucket);
    String database = s.optionalText("database").orElse(bucket);
    String minuteDatabase =
        s.optionalText("minuteDatabase")
            .orElse(minuteBucket.equals(bucket) ? database : minuteBucket);
    InfluxSettings influx =
        new InfluxSettings(
            url,
            s.optionalText("org").orElse("-"),
            Place.of(bucket, database),
            Place.of(minuteBucket, minuteDatabase),
            token(s, folder),
            caFile(s, folder));
    int hours = s.optionalWhole("keepHereHours", "h", LEAST_HOURS, 24 * 366).orElse(DEFAULT_HOURS);
    int megabytes =
        s.optionalWhole("spoolMegabytes", "MB", LEAST_MEGABYTES, 1_000_000)
            .orElse(DEFAULT_MEGABYTES);
    s.finish();
    return new StoreSettings.Influx(influx, Duration.ofHours(hours), megabytes * 1_000_000L);
  }

  private static URI url(Section s) {
    String text = s.text("url");
    URI usual = URI.create("http://127.0.0.1:8086");
    if (text.isEmpty()) {
      return usual;
    }
    @Nullable URI url;
    try {
      url = URI.create(text);
    } catch (IllegalArgumentException e) {
      url = null;
    }
    boolean good =
        url != null
            && ("http".equals(url.getScheme()) || "https".equals(url.getScheme()))
            && url.getHost() != null;
    if (url == null || !good) {
      s.problem("url", "\"%s\" must be an address such as http://localhost:8086".formatted(text));
      return usual;
    }
    if (url.getRawUserInfo() != null || url.getRawQuery() != null) {
      s.problem("url", "must hold neither user, password nor parameters; use the key tokenFile");
      return usual;
    }
    return url;
  }

  // The token stands in a file of its own, so that the configuration can be shown to others.
  private static Optional<String> token(Section s, Path folder) {
    if (s.has("token")) {
      s.problem("token", "must stand in a file of its own: name that as tokenFile");
    }
    Optional<String> file = s.optionalText("tokenFile");
    if (file.isEmpty()) {
      return Optional.empty();
    }
    try {
      String token = YamlFile.read(folder.resolve(file.get())).strip();
      if (!token.matches("[\\x21-\\x7e]+")) {
        s.problem("tokenFile", "%s must hold one token and nothing else".formatted(file.get()));
        return Optional.empty();
      }
      return Optional.of(token);
    } catch (UnusableInputException e) {
      s.problem("tokenFile", e.problems().get(0).message() + ": " + file.get());
      return Optional.empty();
    }
  }

  private static Optional<Path> caFile(Section s, Path folder) {
    Optional<String> file = s.optionalText("caFile");
    if (file.isPresent() && !Files.isReadable(folder.resolve(file.get()))) {
      s.problem("caFile", "there is no file %s that can be read".formatted(file.get()));
    }
    return file.map(folder::resolve);
  }

  private static StoreSettings sqlite(Section top) {
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
