// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import opercle.dashboard.access.AccessDesk;
import opercle.dashboard.access.ApiToken;
import opercle.dashboard.access.RefusedAccessException;
import opercle.dashboard.access.Role;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/**
 * {@code token}: what programs show in place of a log-in. Works while Opercle runs, and at once.
 */
@Command(
    name = "token",
    description = {
      "What programs show in place of a log-in: Authorization: Bearer TOKEN. The command evening takes",
      "it from the environment, OPERCLE_TOKEN."
    },
    synopsisSubcommandLabel = "add|list|revoke")
final class TokenCommand extends CommandWithParts {

  @Command(name = "add", description = "Makes a token and prints it, once.")
  int add(
      @Mixin ConfigOption config,
      @Parameters(paramLabel = "NAME", description = "What it is for.") String name,
      @Option(
              names = "--role",
              required = true,
              paramLabel = "look|keep|manage",
              description = "What the program may do.")
          String role) {
    Role given = AccessWork.role(role);
    return AccessWork.with(
        config,
        out(),
        access -> out().println(access.addToken(name, given, "command line").secret()));
  }

  @Command(name = "list", description = "Lists the tokens; not their secrets, which nobody has.")
  int list(@Mixin ConfigOption config) {
    return AccessWork.with(
        config,
        out(),
        access -> {
          if (access.tokens().isEmpty()) {
            out().println("There are no tokens.");
          }
          access.tokens().forEach(this::print);
        });
  }

  private void print(ApiToken token) {
    out()
        .printf(
            "%s  %-7s %s (made by %s; %s)%n",
            token.id(),
            token.role().id(),
            token.name(),
            token.madeBy(),
            token.used().map(used -> "used " + used).orElse("never used"));
  }

  @Command(name = "revoke", description = "Makes a token worth nothing.")
  int revoke(
      @Mixin ConfigOption config,
      @Parameters(paramLabel = "ID", description = "As the list shows it.") String id) {
    return AccessWork.withTheOne(
        config,
        out(),
        access -> revoke(access, id),
        "The token " + id + " is worth nothing from now on.");
  }

  private static void revoke(AccessDesk access, String id) {
    try {
      access.revokeToken(id);
    } catch (RefusedAccessException e) {
      throw new RefusedAccessException(e.getMessage() + " \"token list\" shows which there are.");
    }
  }
}
