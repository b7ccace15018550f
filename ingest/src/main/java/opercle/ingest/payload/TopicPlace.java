// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import java.util.Optional;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/**
 * What a topic of our own form says about the values under it, and how the names in a SenML pack
 * add to it.
 *
 * <p>A resolved SenML name is read from its end:
 *
 * <table>
 *   <caption>Names in a pack</caption>
 *   <tr><td>none</td><td>what the topic says</td></tr>
 *   <tr><td>{@code quantity} or {@code quantity/probe}</td><td>in the topic's tank</td></tr>
 *   <tr><td>{@code …/tank/quantity} or {@code …/tank/quantity/probe}</td><td>in that tank, whatever
 *       the topic's</td></tr>
 *   <tr><td>any other single word</td><td>a probe of the topic's tank and quantity</td></tr>
 * </table>
 *
 * <p>Leading slashes do not count. A device name that ends in a colon, as URNs do ({@code
 * urn:dev:mac:0024befffe804ff1:oxygen}), is dropped from the first word.
 *
 * @param tank the topic's tank
 * @param quantity the topic's quantity; absent for {@code tanks/{tank}}
 * @param probe the topic's probe
 */
record TopicPlace(String tank, Optional<Quantity> quantity, String probe) {

  private static final String ROOT = "tanks";

  /** The place that a topic of our own form names, or empty if it is not of that form. */
  static Optional<TopicPlace> of(String topic) {
    String[] levels = topic.split("/", -1);
    if (levels.length < 2 || levels.length > 4 || !levels[0].equals(ROOT)) {
      return Optional.empty();
    }
    if (levels.length == 2) {
      return Optional.of(new TopicPlace(levels[1], Optional.empty(), Reading.DEFAULT_PROBE));
    }
    String probe = levels.length == 4 ? levels[3] : Reading.DEFAULT_PROBE;
    return Quantity.of(levels[2]).map(q -> new TopicPlace(levels[1], Optional.of(q), probe));
  }

  /** The place itself, or empty if the topic names no quantity. */
  Optional<Place> place() {
    return quantity.map(q -> new Place(tank, q, probe));
  }

  /** The place of a record of that resolved name, or empty if the name cannot be read. */
  Optional<Place> named(String name) {
    String[] words = stripLeadingSlashes(name).split("/", -1);
    int last = words.length - 1;
    words[0] = words[0].substring(words[0].lastIndexOf(':') + 1);
    if (last == 0 && words[0].isEmpty()) {
      return place();
    }
    if (last >= 1) {
      Optional<Quantity> beforeLast = Quantity.of(words[last - 1]);
      if (beforeLast.isPresent()) {
        String tankHere = last >= 2 ? words[last - 2] : tank;
        return Optional.of(new Place(tankHere, beforeLast.get(), words[last]));
      }
    }
    Optional<Quantity> atEnd = Quantity.of(words[last]);
    if (atEnd.isPresent()) {
      String tankHere = last >= 1 ? words[last - 1] : tank;
      return Optional.of(new Place(tankHere, atEnd.get(), probeFor(atEnd.get())));
    }
    return last == 0 ? quantity.map(q -> new Place(tank, q, words[0])) : Optional.empty();
  }

  /** The topic's probe speaks only of the topic's quantity. */
  private String probeFor(Quantity named) {
    return quantity.filter(named::equals).isPresent() ? probe : Reading.DEFAULT_PROBE;
  }

  private static String stripLeadingSlashes(String name) {
    int start = 0;
    while (start < name.length() && name.charAt(start) == '/') {
      start++;
    }
    return name.substring(start);
  }
}
