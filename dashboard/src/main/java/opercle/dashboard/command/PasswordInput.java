// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.BufferedReader;
import java.io.Console;
import java.io.IOException;
import java.io.InputStreamReader;
import java.util.Arrays;
import opercle.ingest.settings.Problem;
import opercle.ingest.settings.UnusableInputException;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/**
 * A password, typed twice without being shown, or one line of the standard input. Never an
 * argument: those are seen by everybody on the machine, and kept by the shell.
 */
final class PasswordInput {

  @Option(
      names = "--password-stdin",
      description = "Take the password from the standard input, one line.")
  private boolean stdin;

  private @Nullable String given;

  /**
   * Asks for it, the first time.
   *
   * @throws UnusableInputException if none is given
   */
  String read(String whose) {
    if (given == null) {
      given = asked(whose);
    }
    return given;
  }

  private String asked(String whose) {
    @Nullable Console console = stdin ? null : System.console();
    if (console == null) {
      return line();
    }
    char[] first = typed(console, "Password for " + whose + ": ");
    char[] again = typed(console, "The same again: ");
    if (!Arrays.equals(first, again)) {
      throw unusable("the two are not the same; nothing has changed");
    }
    return new String(first);
  }

  private static char[] typed(Console console, String prompt) {
    char @Nullable [] typed = console.readPassword("%s", prompt);
    if (typed == null) {
      throw unusable("none was typed; nothing has changed");
    }
    return typed;
  }

  private static String line() {
    try {
      // Not closed: it is the process'.
      String line = new BufferedReader(new InputStreamReader(System.in, UTF_8)).readLine();
      if (line == null) {
        throw unusable("there is none on the standard input; nothing has changed");
      }
      return line;
    } catch (IOException e) {
      throw unusable("cannot be read from the standard input: " + e.getMessage());
    }
  }

  private static UnusableInputException unusable(String why) {
    return new UnusableInputException(new Problem("password", 0, "", why));
  }
}
