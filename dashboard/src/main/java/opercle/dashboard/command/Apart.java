// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import opercle.ingest.payload.SiteTopics;

/**
 * How services that run apart divide the work.
 *
 * @param share the name under which several {@code ingest} take the readings between them; empty:
 *     there is one
 * @param sites the sites whose tanks are watched apart; empty: all tanks are watched together
 * @param chosen the site that this process is for; empty: it is for all
 */
record Apart(Optional<String> share, List<Site> sites, Optional<Chosen> chosen) {

  static final Apart TOGETHER = new Apart(Optional.empty(), List.of(), Optional.empty());

  /**
   * A site.
   *
   * @param name as people call it; it is the farm's name in its MQTT topics, and its folder's
   * @param topics on which its probes speak
   * @param port that its pages are served on; empty: the one of all
   */
  record Site(String name, SiteTopics topics, Optional<Integer> port) {}

  /**
   * A process's own site.
   *
   * @param readingsFolder where the readings of all sites are
   * @param wholeFarm the name of the farm that all sites are of
   */
  record Chosen(Site site, Path readingsFolder, String wholeFarm) {}

  Apart of(Chosen own) {
    return new Apart(share, sites, Optional.of(own));
  }
}
