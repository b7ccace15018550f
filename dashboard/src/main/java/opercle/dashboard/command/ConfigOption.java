// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.nio.file.Path;
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

  /** What the file says, checked whole. */
  Configuration read() {
    Configuration read = ConfigurationReader.read(file);
    return site == null ? read : read.ofSite(site);
  }
}
