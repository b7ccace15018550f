// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.util.Optional;
import java.util.function.Consumer;
import opercle.analysis.book.FarmBook;
import opercle.dashboard.access.AccessDesk;
import opercle.dashboard.access.RefusedAccessException;
import opercle.dashboard.access.Role;
import opercle.ingest.settings.Problem;
import opercle.ingest.settings.UnusableInputException;

/** What the commands {@code user} and {@code token} do to the farm book. */
final class AccessWork {

  private AccessWork() {}

  /** Does it to the book of the configuration; a running Opercle goes by it at once. */
  static int with(ConfigOption config, Consumer<AccessDesk> work) {
    Configuration c = config.read();
    try (FarmBook book = FarmBook.open(c.book())) {
      work.accept(c.door().access(() -> Optional.of(book)));
      return 0;
    } catch (RefusedAccessException e) {
      throw new UnusableInputException(
          new Problem(c.dataFolder().toString(), 0, "", String.valueOf(e.getMessage())));
    }
  }

  static Role role(String id) {
    return Role.of(id)
        .orElseThrow(
            () ->
                new UnusableInputException(
                    new Problem(
                        "--role", 0, "", "\"%s\" must be one of %s".formatted(id, Role.ids()))));
  }
}
