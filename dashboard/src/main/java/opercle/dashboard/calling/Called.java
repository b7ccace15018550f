// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.calling.Hours;
import opercle.analysis.calling.Person;
import opercle.analysis.calling.Target;
import opercle.dashboard.calling.CallingSettings.Way;

/**
 * Somebody who is called, as the keeper describes them.
 *
 * @param name how the others know them
 * @param onCall when they are to be called; empty: always
 * @param ways by what, the first one to try first; at least one
 */
public record Called(String name, Optional<Hours> onCall, List<Way> ways) {

  public Called {
    ways = List.copyOf(ways);
  }

  /** The same for calling, which knows ways by name. */
  Person person() {
    return new Person(name, List.copyOf(channels().keySet()), onCall);
  }

  /**
   * Their ways by the name of the channel: a second one of a kind is told from the first by a
   * number.
   */
  Map<String, Way> channels() {
    Map<String, Way> channels = new LinkedHashMap<>();
    List<String> kinds = new ArrayList<>();
    for (Way way : ways) {
      long before = kinds.stream().filter(way.kind()::equals).count();
      kinds.add(way.kind());
      channels.put(before == 0 ? way.kind() : way.kind() + "-" + (before + 1), way);
    }
    return channels;
  }

  /** Their ways by what they are for calling. */
  Map<Target, Way> targets() {
    Map<Target, Way> targets = new LinkedHashMap<>();
    channels().forEach((channel, way) -> targets.put(new Target(name, channel), way));
    return targets;
  }
}
