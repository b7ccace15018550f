// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.util.List;
import java.util.Optional;

/**
 * Somebody who can be called.
 *
 * @param name how the others know them; it stands beside what they acknowledge
 * @param channels the names of their channels, the first one to try first; at least one
 * @param onCall when they are to be called; empty: always
 */
public record Person(String name, List<String> channels, Optional<Hours> onCall) {

  public Person {
    channels = List.copyOf(channels);
    if (name.isBlank() || channels.isEmpty()) {
      throw new IllegalArgumentException("a person to be called has a name and a channel");
    }
  }
}
