// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

/**
 * One channel of one person.
 *
 * @param person the person's name
 * @param channel the channel's name
 */
public record Target(String person, String channel) {

  /** Names it in a state; no name holds a line break. */
  public String id() {
    return person + "\n" + channel;
  }

  /** The channel of that id. */
  public static Target of(String id) {
    int at = id.indexOf('\n');
    return new Target(id.substring(0, at), id.substring(at + 1));
  }
}
