// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.List;
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

  /**
   * Does it to the book of the configuration; a running Opercle goes by it at once. Where there are
   * sites and none is chosen, to the book of each, under its name.
   */
  static int with(ConfigOption config, PrintWriter out, Consumer<AccessDesk> work) {
    Configuration c = config.read();
    if (c.apart().sites().isEmpty() || c.apart().chosen().isPresent()) {
      refusal(c, work).ifPresent(AccessWork::refuse);
      return 0;
    }
    List<Problem> refused = new ArrayList<>();
    for (Apart.Site site : c.apart().sites()) {
      out.println(site.name() + ":");
      refusal(c.ofSite(site.name()), work).ifPresent(refused::add);
    }
    if (!refused.isEmpty()) {
      throw new UnusableInputException(refused);
    }
    return 0;
  }

  /**
   * Does something of which there is one: where there are sites and none is chosen, to whichever
   * book has it. Refused where none has.
   *
   * @param done said once it is done
   */
  static int withTheOne(
      ConfigOption config, PrintWriter out, Consumer<AccessDesk> work, String done) {
    Configuration c = config.read();
    List<Problem> refused = new ArrayList<>();
    List<Configuration> books =
        c.apart().sites().isEmpty() || c.apart().chosen().isPresent()
            ? List.of(c)
            : c.apart().sites().stream().map(site -> c.ofSite(site.name())).toList();
    for (Configuration one : books) {
      refusal(one, work)
          .ifPresentOrElse(
              refused::add,
              () -> out.println(books.size() > 1 ? one.farm().name() + ": " + done : done));
    }
    if (refused.size() == books.size()) {
      throw new UnusableInputException(refused);
    }
    return 0;
  }

  private static Optional<Problem> refusal(Configuration c, Consumer<AccessDesk> work) {
    try (FarmBook book = FarmBook.open(c.book())) {
      work.accept(c.door().access(() -> Optional.of(book)));
      return Optional.empty();
    } catch (RefusedAccessException e) {
      return Optional.of(
          new Problem(c.dataFolder().toString(), 0, "", String.valueOf(e.getMessage())));
    }
  }

  private static void refuse(Problem why) {
    throw new UnusableInputException(why);
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
