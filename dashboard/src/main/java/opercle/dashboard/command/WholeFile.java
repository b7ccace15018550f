// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;

/** Small files that are there whole or as they were before, even after a power cut. */
final class WholeFile {

  private WholeFile() {}

  /**
   * Puts the content in place of what was there.
   *
   * @throws IOException if that fails; what was there stands
   */
  static void write(Path file, byte[] content) throws IOException {
    Path fresh = file.resolveSibling(file.getFileName() + ".new");
    Files.write(
        fresh,
        content,
        StandardOpenOption.CREATE,
        StandardOpenOption.TRUNCATE_EXISTING,
        StandardOpenOption.WRITE,
        StandardOpenOption.SYNC); // through to the disk, or a power cut leaves an empty file
    Files.move(fresh, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
  }
}
