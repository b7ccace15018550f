// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Supplier;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import opercle.dashboard.command.Apart.Site;
import opercle.dashboard.monitor.Leg;
import opercle.ingest.payload.TopicMapping;

/** Whether a site hears its tanks, those too that were set up on its pages. */
final class SiteHearing {

  private final Site own;
  private final List<Site> sites;
  private final List<TopicMapping> mappings;

  private SiteHearing(Site own, List<Site> sites, List<TopicMapping> mappings) {
    this.own = own;
    this.sites = sites;
    this.mappings = mappings;
  }

  /** Of the site that the process is for; empty: it is for all tanks, and hears all. */
  static Optional<SiteHearing> of(Configuration c) {
    return c.apart()
        .chosen()
        .map(chosen -> new SiteHearing(chosen.site(), c.apart().sites(), c.mappings()));
  }

  /** Why a tank of that id cannot be watched here, as a sentence; empty if it can. */
  Optional<String> whyNot(String tank) {
    List<String> unheard = own.topics().notHeard(tank, mappings);
    if (!unheard.isEmpty()) {
      return Optional.of(
          "Nobody would hear tank '%s': %s does not listen to %s. Add it to the topics of %s in opercle.yaml and start Opercle again, or give the tank an id that %s listens to."
              .formatted(tank, own.name(), String.join(", ", unheard), own.name(), own.name()));
    }
    return sites.stream()
        .filter(s -> !s.name().equals(own.name()) && s.topics().feed(tank, mappings))
        .findFirst()
        .map(
            s ->
                "Tank '%s' would be watched twice: %s listens to it too. Set it up there, or give it another id."
                    .formatted(tank, s.name()));
  }

  /** Tells of tanks that were taken in before the topics were as they are. */
  Leg leg(Supplier<Farm> farm) {
    return steadyNanos -> gaps(farm.get());
  }

  private Map<TroubleKey, String> gaps(Farm farm) {
    Map<TroubleKey, String> gaps = new LinkedHashMap<>();
    for (Tank tank : farm.tanks()) {
      List<String> unheard = own.topics().notHeard(tank.id(), mappings);
      if (!unheard.isEmpty()) {
        gaps.put(
            TroubleKey.of(TroubleKind.TANK_OUT_OF_SITE, tank.id()),
            "%s may not be heard: %s does not listen to %s."
                .formatted(tank.name(), own.name(), String.join(", ", unheard)));
      }
    }
    return gaps;
  }
}
