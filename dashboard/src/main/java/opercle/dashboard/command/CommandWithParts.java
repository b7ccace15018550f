// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.PrintWriter;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** A command that does nothing by itself, only by its parts. */
abstract class CommandWithParts implements Runnable {

  @Spec private CommandSpec spec;

  @Override
  public void run() {
    throw new ParameterException(spec.commandLine(), "say which part of the command");
  }

  PrintWriter out() {
    return spec.commandLine().getOut();
  }
}
