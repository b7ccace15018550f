// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.IOException;
import java.nio.file.FileStore;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import opercle.ingest.settings.Problem;
import opercle.ingest.settings.UnusableInputException;

/**
 * The disk that the data folder is on, before anything on it is opened: a database on a full one
 * says many things, and that the disk is full is seldom among them.
 */
final class DataDisk {

  /** Opening the store and the book, and what stands in their write-ahead logs, takes a few MB. */
  static final long LEAST_BYTES = 4L << 20;

  private DataDisk() {}

  /**
   * Refuses a disk without room.
   *
   * @param dataFolder need not be there yet
   * @throws UnusableInputException if the disk is full, saying so
   */
  static void requireRoom(Path dataFolder) {
    Path there = dataFolder.toAbsolutePath();
    while (there.getParent() != null && !Files.exists(there)) {
      there = there.getParent();
    }
    try {
      FileStore disk = Files.getFileStore(there);
      problem(dataFolder, disk.getUsableSpace())
          .ifPresent(
              problem -> {
                throw new UnusableInputException(problem);
              });
    } catch (IOException e) {
      // Whoever opens a file on it says what is wrong with it.
    }
  }

  static Optional<Problem> problem(Path dataFolder, long usableBytes) {
    if (usableBytes >= LEAST_BYTES) {
      return Optional.empty();
    }
    return Optional.of(
        new Problem(
            dataFolder.toString(),
            0,
            "",
            "the disk is full: %d kB are left, and starting takes %d kB. No tank is watched before"
                    .formatted(usableBytes >> 10, LEAST_BYTES >> 10)
                + " there is room on it"));
  }
}
