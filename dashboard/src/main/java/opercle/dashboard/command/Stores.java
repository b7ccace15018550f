// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.File;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.Optional;
import opercle.dashboard.web.MonitorState;
import opercle.ingest.store.IntakeStore;
import opercle.ingest.store.ReadingStore;
import opercle.ingest.store.Retention;
import opercle.ingest.store.SpooledReadings;
import opercle.ingest.store.SpooledReadings.Spool;
import opercle.ingest.store.SqliteReadings;

/** Opens the readings store that the settings name, and hands it over to be closed. */
final class Stores {

  private Stores() {}

  /**
   * To write and read; it deletes what the keeper wants no longer.
   *
   * @param isShared whether it is one of several that take the readings between them
   */
  static IntakeStore open(
      RunningParts parts,
      Path dataFolder,
      StoreSettings settings,
      boolean isShared,
      InstantSource clock) {
    if (settings instanceof StoreSettings.Sqlite sqlite) {
      SqliteReadings store = parts.add(SqliteReadings.open(sqliteFile(dataFolder)));
      parts.add(Retention.start(store, sqlite.keepReadings(), sqlite.keepMinutes(), clock));
      return store;
    }
    StoreSettings.Influx influx = (StoreSettings.Influx) settings;
    Spool spool = new Spool(spoolFile(dataFolder), influx.keepHere(), influx.mostSpoolBytes());
    return parts.add(SpooledReadings.open(influx.influx(), spool, isShared, clock));
  }

  /** What another process writes. */
  static ReadingStore openToRead(
      RunningParts parts, Path dataFolder, StoreSettings settings, boolean isShared) {
    return parts.add(
        settings instanceof StoreSettings.Influx influx
            ? SpooledReadings.openReadOnly(influx.influx(), spoolFile(dataFolder), isShared)
            : SqliteReadings.openReadOnlyOnceThere(sqliteFile(dataFolder)));
  }

  /** The latest of what another process writes, where it does so on this machine. */
  static Optional<ReadingStore> latestIfHere(
      RunningParts parts, Path dataFolder, StoreSettings settings) {
    Path file =
        settings instanceof StoreSettings.Sqlite ? sqliteFile(dataFolder) : spoolFile(dataFolder);
    return Files.isRegularFile(file)
        ? Optional.of(parts.add(SqliteReadings.openReadOnly(file)))
        : Optional.empty();
  }

  /** The spool as others are told of it. */
  static MonitorState.Spool spool(SpooledReadings.State state, Path dataFolder, Instant now) {
    Duration waiting =
        state.waitingSince().map(t -> Duration.between(t, now)).orElse(Duration.ZERO);
    File file = spoolFile(dataFolder).toFile();
    File beside = new File(file.getPath() + "-wal");
    return new MonitorState.Spool(
        state.away().isEmpty(),
        waiting.isNegative() ? Duration.ZERO : waiting,
        file.length() + beside.length());
  }

  static Path sqliteFile(Path dataFolder) {
    return dataFolder.resolve("readings.db");
  }

  private static Path spoolFile(Path dataFolder) {
    return dataFolder.resolve("spool.db");
  }
}
