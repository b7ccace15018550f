// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.FileAttribute;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.book.BookException;
import opercle.dashboard.calling.CallingSettings.Way;

/**
 * Secrets that were typed on a page, each in a file of the data folder that its owner alone may
 * read: the farm book and what it gives out hold only the files' names.
 */
final class TypedSecrets {

  private static final String FOLDER = "webhook-keys";

  private final Path dataFolder;
  private final Path configurationFolder;

  /**
   * @param configurationFolder that names of secrets' files are relative to
   */
  TypedSecrets(Path dataFolder, Path configurationFolder) {
    this.dataFolder = dataFolder.toAbsolutePath().normalize();
    this.configurationFolder = configurationFolder.toAbsolutePath().normalize();
  }

  /** The same way with its secret in a file; a way without a new secret as it is. */
  Way kept(Way way) {
    if (way instanceof Way.Webhook webhook
        && webhook.secretFile().isEmpty()
        && webhook.settings().secret().isPresent()) {
      return new Way.Webhook(
          webhook.settings(),
          Optional.of(write(webhook.settings().secret().get())),
          Optional.empty());
    }
    return way;
  }

  private String write(String secret) {
    Path folder = dataFolder.resolve(FOLDER);
    try {
      Files.createDirectories(folder);
      boolean posix = Files.getFileStore(folder).supportsFileAttributeView("posix");
      FileAttribute<?>[] ownersAlone =
          posix
              ? new FileAttribute<?>[] {
                PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rw-------"))
              }
              : new FileAttribute<?>[0];
      Path file = Files.createTempFile(folder, "webhook-", ".key", ownersAlone);
      // Through to the disk: after a power cut an empty file would keep Opercle from starting.
      Files.writeString(file, secret, StandardOpenOption.WRITE, StandardOpenOption.SYNC);
      return file.startsWith(configurationFolder)
          ? configurationFolder.relativize(file).toString()
          : file.toString();
    } catch (IOException e) {
      throw new BookException("the key of a webhook could not be written to " + folder, e);
    }
  }

  /** Deletes what was typed once and is used no longer; files that a hand made stay. */
  void forget(Set<String> before, Set<String> after) {
    for (String name : before) {
      Path file = configurationFolder.resolve(name).normalize();
      if (!after.contains(name) && file.startsWith(dataFolder.resolve(FOLDER))) {
        try {
          Files.deleteIfExists(file);
        } catch (IOException e) {
          // A key that signs nothing any more does no harm where it is.
        }
      }
    }
  }
}
