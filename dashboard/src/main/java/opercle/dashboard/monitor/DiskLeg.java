// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import java.io.IOException;
import java.nio.file.FileStore;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.Executor;
import java.util.concurrent.TimeUnit;
import opercle.analysis.monitor.DiskRoom;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;

/**
 * The data folder's disk: whether it has room, and whether it takes a byte. It is asked every ten
 * seconds, so that a full disk is found even while no reading comes.
 *
 * <p>For one thread. The disk is waited for elsewhere: one that hangs must not stop whoever looks.
 */
public final class DiskLeg implements Leg {

  private static final long EVERY_NANOS = TimeUnit.SECONDS.toNanos(10);
  private static final long HANGS_NANOS = TimeUnit.SECONDS.toNanos(20);
  private static final String TRIAL = "self-watch.trial";

  /** What a disk says of its room, bytes. */
  record Room(long free, long total) {}

  /** How to ask. */
  @FunctionalInterface
  interface Disk {
    Room room() throws IOException;
  }

  private final Path folder;
  private final Disk disk;
  private final Executor elsewhere;
  private volatile DiskRoom room = DiskRoom.ENOUGH;
  private CompletableFuture<Map<TroubleKey, String>> asking =
      CompletableFuture.completedFuture(Map.of());
  private Map<TroubleKey, String> found = Map.of();
  private long askedAt;
  private boolean asked;

  /** Looks at a folder that is there. */
  public DiskLeg(Path folder) {
    this(
        folder,
        () -> {
          FileStore store = Files.getFileStore(folder);
          return new Room(store.getUsableSpace(), store.getTotalSpace());
        },
        task -> {
          Thread thread = new Thread(task, "self-watch-disk");
          thread.setDaemon(true);
          thread.start();
        });
  }

  DiskLeg(Path folder, Disk disk, Executor elsewhere) {
    this.folder = folder;
    this.disk = disk;
    this.elsewhere = elsewhere;
  }

  @Override
  public String what() {
    return "the disk";
  }

  @Override
  public Map<TroubleKey, String> look(long steadyNanos) {
    if (asking.isDone() && (!asked || steadyNanos - askedAt >= EVERY_NANOS)) {
      asked = true;
      askedAt = steadyNanos;
      asking = CompletableFuture.supplyAsync(this::ask, elsewhere);
    }
    if (asking.isDone()) {
      found = asking.join();
    } else if (steadyNanos - askedAt >= HANGS_NANOS) {
      found =
          Map.of(
              TroubleKey.of(TroubleKind.STORE_UNWRITABLE),
              "The disk of %s does not answer.".formatted(folder));
    }
    return found;
  }

  private Map<TroubleKey, String> ask() {
    try {
      Room now = disk.room();
      room = room.next(now.free(), now.total());
      // In steps, so that each megabyte is not news.
      String words = "about %d MB are left for %s.".formatted((now.free() >> 20) / 64 * 64, folder);
      if (room == DiskRoom.FULL) { // whether it still takes a byte or not
        return Map.of(TroubleKey.of(TroubleKind.DISK_FULL), "The disk is full: " + words);
      }
      tryToWrite();
      return room == DiskRoom.ENOUGH
          ? Map.of()
          : Map.of(
              TroubleKey.of(TroubleKind.DISK_NEARLY_FULL), "The disk is nearly full: " + words);
    } catch (IOException e) {
      return Map.of(
          TroubleKey.of(TroubleKind.STORE_UNWRITABLE),
          "Nothing can be written to %s.".formatted(folder));
    }
  }

  private void tryToWrite() throws IOException {
    Path trial = folder.resolve(TRIAL);
    Files.writeString(trial, "x");
    Files.deleteIfExists(trial);
  }
}
