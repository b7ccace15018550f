// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.dashboard.command.Apart.Site;
import opercle.ingest.payload.SiteTopics;
import opercle.ingest.payload.TopicMapping;
import opercle.ingest.settings.Section;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Reads what {@code opercle.yaml} says of how services apart divide the work. */
final class ApartReader {

  private static final Logger log = LoggerFactory.getLogger(ApartReader.class);

  /** Fits a level of a topic, a folder and a client id. */
  private static final String NAME = "[A-Za-z0-9-]{1,40}";

  private ApartReader() {}

  /**
   * Reads the keys of the whole file that are about it.
   *
   * @param farm whose every tank must be in one site, where there are sites
   */
  static Apart read(Section top, Farm farm, List<TopicMapping> mappings, StoreSettings store) {
    Optional<Section> ingest = top.optionalSection("ingest");
    Optional<String> share = ingest.flatMap(s -> share(s, top, store));
    ingest.ifPresent(Section::finish);
    List<Section> sections = top.sections("sites");
    List<Site> sites = new ArrayList<>();
    Set<String> names = new HashSet<>();
    for (Section section : sections) {
      site(section)
          .ifPresent(
              site -> {
                if (!names.add(site.name())) {
                  section.problem("name", "there are two sites called " + site.name());
                }
                sites.add(site);
              });
      section.finish();
    }
    if (top.has("sites") && top.has("book")) {
      top.problem("book", "goes with one farm: with sites each has a book in its own data folder");
    }
    if (sites.size() == sections.size()) {
      eachTankInOne(top, farm, mappings, sites);
    }
    return new Apart(share, List.copyOf(sites), Optional.empty());
  }

  private static Optional<String> share(Section s, Section top, StoreSettings store) {
    Optional<String> share = s.optionalText("share");
    if (share.isPresent()) {
      if (!share.get().matches(NAME)) {
        s.problem("share", nameRule(share.get()));
      }
      if (store instanceof StoreSettings.Sqlite) {
        s.problem(
            "share", "needs store.influxdb: a SQLite file takes readings from one process only");
      }
      if (!top.optionalSection("mqtt").map(m -> m.has("clientId")).orElse(false)) {
        s.problem("share", "needs mqtt.clientId, a different one for each \"ingest\" that shares");
      }
    }
    return share;
  }

  private static String nameRule(String name) {
    return "\"%s\" must be 1 to 40 letters, digits or -".formatted(name);
  }

  private static Optional<Site> site(Section s) {
    String name = s.text("name");
    String topics = s.text("topics");
    Optional<Integer> port = s.optionalWhole("port", "", 0, 65535).stream().boxed().findFirst();
    if (!name.isEmpty() && !name.matches(NAME)) {
      s.problem("name", nameRule(name));
    }
    if (name.isEmpty() || topics.isEmpty()) {
      return Optional.empty(); // said already
    }
    try {
      List<String> filters =
          Arrays.stream(topics.split("[,\\s]+", -1)).filter(f -> !f.isEmpty()).toList();
      return Optional.of(new Site(name, new SiteTopics(filters), port));
    } catch (IllegalArgumentException e) {
      s.problem("topics", String.valueOf(e.getMessage()));
      return Optional.empty();
    }
  }

  /** A tank in two sites would be judged and called for twice, one in none by nobody. */
  private static void eachTankInOne(
      Section top, Farm farm, List<TopicMapping> mappings, List<Site> sites) {
    if (sites.isEmpty()) {
      return;
    }
    for (Tank tank : farm.tanks()) {
      List<String> in =
          sites.stream()
              .filter(site -> site.topics().feed(tank.id(), mappings))
              .map(Site::name)
              .toList();
      if (in.isEmpty()) {
        top.problem(
            "sites",
            "tank %s is in none of them: no site's topics can bring a reading of it"
                .formatted(tank.id()));
      } else if (in.size() > 1) {
        top.problem(
            "sites",
            "tank %s is in %s: their topics overlap, and it would be watched twice"
                .formatted(tank.id(), in.stream().collect(Collectors.joining(" and "))));
      } else {
        heardWhole(tank, mappings, sites.stream().filter(s -> s.name().equals(in.get(0))));
      }
    }
  }

  /**
   * A site listens to its own topics alone. What may come on others is no reason not to start, as
   * perhaps no probe speaks there: it is said here, and stands as a trouble of the monitor.
   */
  private static void heardWhole(Tank tank, List<TopicMapping> mappings, Stream<Site> its) {
    its.forEach(
        site ->
            site.topics()
                .notHeard(tank.id(), mappings)
                .forEach(
                    topic ->
                        log.warn(
                            "sites: tank {} is in {}, but readings of it on {} would be heard by nobody: topics of {} brings only {}; add it there",
                            tank.id(),
                            site.name(),
                            topic,
                            site.name(),
                            String.join(", ", site.topics().filters()))));
  }
}
