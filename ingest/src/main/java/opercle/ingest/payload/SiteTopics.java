// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import java.util.List;
import java.util.stream.Stream;

/**
 * The topics on which the probes of one site speak.
 *
 * @param filters MQTT topic filters (MQTT 5, section 4.7), at least one
 */
public record SiteTopics(List<String> filters) {

  /**
   * @throws IllegalArgumentException if there is no filter, or one is not well-formed; the message
   *     says why
   */
  public SiteTopics {
    filters = List.copyOf(filters);
    if (filters.isEmpty()) {
      throw new IllegalArgumentException("there is no topic filter");
    }
    filters.forEach(TopicFilter::of);
  }

  /**
   * Whether readings of a tank can come on one of these topics.
   *
   * @param mappings which other topics feed which tank
   */
  public boolean feed(String tank, List<TopicMapping> mappings) {
    Stream<TopicFilter> own = Stream.of(TopicFilter.of("tanks/" + tank + "/#"));
    Stream<TopicFilter> mapped =
        mappings.stream().flatMap(m -> m.topicsOf(tank).stream()).map(TopicFilter::of);
    List<TopicFilter> ofTank = Stream.concat(own, mapped).toList();
    return filters.stream()
        .map(TopicFilter::of)
        .anyMatch(site -> ofTank.stream().anyMatch(site::overlaps));
  }

  /**
   * The topics on which readings of a tank can come and that these do not bring, or not all of
   * them; empty if the tank is heard whatever its probes speak on.
   *
   * @param mappings which other topics feed which tank
   */
  public List<String> notHeard(String tank, List<TopicMapping> mappings) {
    String own = "tanks/" + tank + "/";
    Stream<String> unheardOwn =
        isHeard(own + "+") && isHeard(own + "+/+") ? Stream.empty() : Stream.of(own + "#");
    Stream<String> mapped = mappings.stream().flatMap(m -> m.topicsOf(tank).stream());
    return Stream.concat(unheardOwn, mapped.filter(t -> !isHeard(t))).distinct().toList();
  }

  private boolean isHeard(String topics) {
    TopicFilter wanted = TopicFilter.of(topics);
    return filters.stream().map(TopicFilter::of).anyMatch(site -> site.covers(wanted));
  }
}
