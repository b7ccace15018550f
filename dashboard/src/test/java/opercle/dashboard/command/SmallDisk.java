// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.junit.jupiter.api.Assumptions.abort;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;

/**
 * A small disk that can be filled and freed, in memory. Mounting needs rights that not everybody
 * has: the test is skipped then, with that reason.
 */
final class SmallDisk implements AutoCloseable {

  private final Path folder;
  private final Path filler;

  private SmallDisk(Path folder) {
    this.folder = folder;
    filler = folder.resolve("filler");
  }

  /** Mounts it on a folder that is there. */
  static SmallDisk mount(Path folder, int megabytes) throws IOException, InterruptedException {
    Process mount =
        new ProcessBuilder(
                "mount", "-t", "tmpfs", "-o", "size=" + megabytes + "m", "tmpfs", folder.toString())
            .redirectErrorStream(true)
            .start();
    String why = new String(mount.getInputStream().readAllBytes(), UTF_8);
    if (mount.waitFor() != 0) {
      abort("no small disk can be mounted: " + why);
    }
    return new SmallDisk(folder);
  }

  /** Until nothing more goes. */
  void fill() throws IOException {
    byte[] block = new byte[4096];
    try (OutputStream out = Files.newOutputStream(filler)) {
      while (true) {
        out.write(block);
      }
    } catch (IOException e) {
      if (!String.valueOf(e.getMessage()).contains("No space left")) {
        throw e;
      }
    }
  }

  void free() throws IOException {
    Files.delete(filler);
  }

  @Override
  public void close() {
    try {
      int code = new ProcessBuilder("umount", folder.toString()).inheritIO().start().waitFor();
      if (code != 0) {
        throw new IllegalStateException("cannot unmount " + folder);
      }
    } catch (IOException e) {
      throw new IllegalStateException(e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
