// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.util.concurrent.Callable;
import opercle.dashboard.access.DevicePasswords;
import opercle.dashboard.access.RefusedAccessException;
import opercle.ingest.settings.Problem;
import opercle.ingest.settings.UnusableInputException;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** {@code mqtt-password}: the line for a probe or display in {@code mqtt.clients}. */
@Command(
    name = "mqtt-password",
    description = {
      "Hashes the password of a probe or display, for mqtt.clients in opercle.yaml.",
      "Asks for it, and prints the hash; the password itself is kept nowhere."
    })
final class MqttPasswordCommand implements Callable<Integer> {

  @Spec private CommandSpec spec;
  @Mixin private PasswordInput password;

  @Parameters(paramLabel = "NAME", description = "The name under mqtt.clients.")
  private String name;

  @Override
  public Integer call() {
    try {
      String hash = new DevicePasswords().hash(name, password.read(name));
      spec.commandLine().getOut().println("passwordHash: \"" + hash + "\"");
      return 0;
    } catch (RefusedAccessException e) {
      throw new UnusableInputException(
          new Problem("password", 0, "", String.valueOf(e.getMessage())));
    }
  }
}
