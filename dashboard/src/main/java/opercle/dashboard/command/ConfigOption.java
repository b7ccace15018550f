// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.nio.file.Path;
import picocli.CommandLine.Option;

/** {@code --config}, for the commands that run a real farm. */
final class ConfigOption {

  @Option(
      names = "--config",
      required = true,
      paramLabel = "opercle.yaml",
      description = "The configuration; docs/operating.md describes it.")
  private Path file;

  /** What the file says, checked whole. */
  Configuration read() {
    return ConfigurationReader.read(file);
  }
}
