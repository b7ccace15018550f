// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Supplier;
import java.util.stream.Stream;
import opercle.ingest.payload.SiteTopics;
import opercle.ingest.payload.TopicMapping;

/**
 * What the front door subscribes to.
 *
 * @param all what all readings of the farm come on, assigned topics too
 * @param site takes its own topics only, and those assigned; empty: takes all
 * @param share the group with which it takes them; empty: alone
 */
record SensorFilters(
    Supplier<List<String>> all, Optional<SiteTopics> site, Optional<String> share) {

  /** What is wanted now. */
  List<String> wanted(List<TopicMapping> assigned) {
    return plain(assigned).stream().map(filter -> inShare(share, filter)).toList();
  }

  /**
   * The same topics, as an earlier run may have left them in the session: alone, or in a share.
   *
   * @param formerShares in which it was
   */
  List<String> fromBefore(List<TopicMapping> assigned, Set<String> formerShares) {
    List<String> now = wanted(assigned);
    Stream<Optional<String>> alone =
        share.isPresent() ? Stream.of(Optional.empty()) : Stream.empty();
    return Stream.concat(alone, formerShares.stream().map(Optional::of))
        .flatMap(former -> plain(assigned).stream().map(filter -> inShare(former, filter)))
        .filter(filter -> !now.contains(filter))
        .toList();
  }

  private static String inShare(Optional<String> share, String filter) {
    return share.map(s -> "$share/" + s + "/" + filter).orElse(filter);
  }

  private List<String> plain(List<TopicMapping> assigned) {
    return site.map(topics -> ofSite(topics, assigned)).orElseGet(all);
  }

  /** The site's, and what was assigned beyond them: some brokers send twice what two ask for. */
  private static List<String> ofSite(SiteTopics topics, List<TopicMapping> assigned) {
    List<TopicPattern> patterns = topics.filters().stream().map(TopicPattern::of).toList();
    Stream<String> beyond =
        assigned.stream()
            .map(TopicMapping::topicFilter)
            .filter(f -> patterns.stream().noneMatch(p -> p.allowsFilter(f)));
    return Stream.concat(topics.filters().stream(), beyond).distinct().toList();
  }
}
