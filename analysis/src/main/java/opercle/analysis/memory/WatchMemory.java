// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.memory;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.watch.FarmWatch;

/**
 * The watch's memory on disk, in two files of one folder: what it has learned, which is much and is
 * saved now and then, and its alarms, which are little and are saved before anybody is told.
 *
 * <p>Each file is replaced as a whole and is on the disk when its method returns, so that neither a
 * killed process nor a pulled plug leaves half a file. The two have versions of their own: after an
 * update that changes what is learned the learning starts anew, but the alarms still stand. Of a
 * file that is damaged one line in the log tells; it is moved aside.
 *
 * <p>Safe for many threads.
 */
public final class WatchMemory {

  private final MemoryFile<FarmWatch.Snapshot> learning;
  private final MemoryFile<Alarms> alarms;
  private long newestAlarms = Long.MIN_VALUE;

  /**
   * The alarms as they stand, and what has been said of them.
   *
   * @param standing every tank's alarms
   * @param untold events that may not have reached everybody yet, oldest first; told again after a
   *     restart
   */
  public record Alarms(FarmWatch.Alarms standing, List<AlarmEvent> untold) {
    public Alarms {
      untold = List.copyOf(untold);
    }
  }

  /** One of the two files. */
  public enum Part {
    /** What the watch has learned. */
    LEARNED,
    /** Its alarms. */
    ALARMS
  }

  /**
   * A file that was there and could not be read.
   *
   * @param part which
   * @param isSavedSince whether it has been saved whole since
   */
  public record Damage(Part part, boolean isSavedSince) {}

  private WatchMemory(Path folder) {
    learning =
        new MemoryFile<>(
            folder.resolve("watch-learned.json"),
            FarmWatch.Snapshot.class,
            false,
            "what was learned of the tanks' normal is learned anew, the alarms stay");
    alarms =
        new MemoryFile<>(
            folder.resolve("watch-alarms.json"),
            Alarms.class,
            true,
            "these alarms could not be taken over");
  }

  /**
   * The memory in a folder, which is made if it is not there.
   *
   * @throws IOException if it cannot be made
   */
  public static WatchMemory in(Path folder) throws IOException {
    Files.createDirectories(folder);
    return new WatchMemory(folder);
  }

  /** What the watch was when it was saved last; empty if there is nothing that fits. */
  public Optional<Remembered<FarmWatch.Snapshot>> learned() {
    return learning.load();
  }

  /** The alarms as they were saved last; empty if there are none that can be read. */
  public Optional<Remembered<Alarms>> alarms() {
    return alarms.load();
  }

  /** What could not be read in this run, as far as it was asked for. */
  public List<Damage> damages() {
    return Stream.of(learning.damage(Part.LEARNED), alarms.damage(Part.ALARMS))
        .flatMap(Optional::stream)
        .toList();
  }

  /**
   * Saves what the watch has learned.
   *
   * @throws IOException if it could not; then the earlier one is still there
   */
  public void saveLearned(Instant at, FarmWatch.Snapshot snapshot) throws IOException {
    learning.save(at, snapshot);
  }

  /**
   * Saves the alarms, unless newer ones have been saved already.
   *
   * @param number counts the states of the alarms, whichever thread comes first
   * @throws IOException if it could not; then the earlier ones are still there
   */
  public void saveAlarms(Instant at, long number, Alarms now) throws IOException {
    synchronized (alarms) {
      if (number > newestAlarms) {
        alarms.save(at, now);
        newestAlarms = number;
      }
    }
  }
}
