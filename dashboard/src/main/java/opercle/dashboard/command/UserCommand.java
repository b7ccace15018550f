// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import opercle.dashboard.access.Role;
import opercle.dashboard.access.User;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code user}: who can log in to the pages. Works while Opercle runs, and at once. */
@Command(
    name = "user",
    description = {
      "Who can log in to the pages.",
      "From the first user on the pages ask for a log-in. Roles: look reads; keep also acknowledges, and",
      "writes checks, trips and records; manage also changes tanks, probes, users and tokens."
    },
    synopsisSubcommandLabel = "add|list|role|password|remove")
final class UserCommand extends CommandWithParts {

  @Command(name = "add", description = "Adds a user; asks for the password.")
  int add(
      @Mixin ConfigOption config,
      @Mixin PasswordInput password,
      @Parameters(paramLabel = "NAME", description = "As others shall read it.") String name,
      @Option(
              names = "--role",
              required = true,
              paramLabel = "look|keep|manage",
              description = "What the user may do.")
          String role) {
    Role given = AccessWork.role(role);
    return AccessWork.with(
        config,
        out(),
        access -> {
          User user = access.add(name, given, password.read(name));
          out().println(user.name() + " can log in, and may " + given.id() + ".");
        });
  }

  @Command(name = "list", description = "Lists the users.")
  int list(@Mixin ConfigOption config) {
    return AccessWork.with(
        config,
        out(),
        access -> {
          if (access.users().isEmpty()) {
            out().println("There are no users: the pages ask for no log-in.");
          }
          access.users().forEach(u -> out().printf("%-7s %s%n", u.role().id(), u.name()));
        });
  }

  @Command(name = "role", description = "Gives a user another role, and ends the user's log-ins.")
  int role(
      @Mixin ConfigOption config,
      @Parameters(paramLabel = "NAME", description = "Who.") String name,
      @Parameters(paramLabel = "look|keep|manage", description = "The role.") String role) {
    Role given = AccessWork.role(role);
    return AccessWork.with(
        config,
        out(),
        access -> {
          access.setRole(name, given, true);
          out().println(name + " may " + given.id() + " from now on.");
        });
  }

  @Command(
      name = "password",
      description = "Sets a user's password, and ends the user's log-ins; asks for it.")
  int password(
      @Mixin ConfigOption config,
      @Mixin PasswordInput password,
      @Parameters(paramLabel = "NAME", description = "Who.") String name) {
    return AccessWork.with(
        config,
        out(),
        access -> {
          access.setPassword(name, password.read(name));
          out().println(name + " has another password from now on.");
        });
  }

  @Command(name = "remove", description = "Removes a user, and ends the user's log-ins.")
  int remove(
      @Mixin ConfigOption config,
      @Parameters(paramLabel = "NAME", description = "Who.") String name) {
    return AccessWork.with(
        config,
        out(),
        access -> {
          access.remove(name, true);
          out().println(name + " cannot log in any more.");
          if (!access.hasUsers()) {
            out()
                .println(
                    "There are no users any more: on this machine the pages ask for no log-in.");
          }
        });
  }
}
