// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.util.List;

/**
 * An entry as it stands now, and how it came to.
 *
 * @param id under which it was first recorded, by which others name it
 * @param entry what it says now
 * @param versions every version in the order of recording; the last one stands
 * @param withdrawn whether the last one says that it should not have been made
 */
public record Standing<T extends Entry>(
    String id, T entry, List<Recorded> versions, boolean withdrawn) {

  public Standing {
    versions = List.copyOf(versions);
  }

  /** The place of its first version in the order of recording. */
  public long number() {
    return versions.get(0).number();
  }
}
