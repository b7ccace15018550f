// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.nio.file.Path;
import opercle.ingest.settings.Problem;
import opercle.ingest.settings.UnusableInputException;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** {@code --config}, for the commands that run a real farm. */
final class ConfigOption {

  @Option(
      names = "--config",
      required = true,
      paramLabel = "opercle.yaml",
      description = "The configuration; docs/operating.md describes it.")
  private Path file;

  @Option(
      names = "--site",
      paramLabel = "NAME",
      description = "Where the configuration describes sites: the one that this is for.")
  private @Nullable String site;

  /**
   * The same for a command that is for all sites together.
   *
   * @throws UnusableInputException if a site was chosen
   */
  Configuration readForAll(String command, String why) {
    if (site != null) {
      throw new UnusableInputException(
          new Problem("--site", 0, "", "does not go with \"%s\": %s".formatted(command, why)));
    }
    return read();
  }

  /** What the file says, checked whole. */
  Configuration read() {
    Configuration read = ConfigurationReader.read(file);
    return site == null ? read : read.ofSite(site);
  }
}
