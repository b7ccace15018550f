// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.util.Map;

/** What the ways to a person are called in sentences that people read; as on the set-up page. */
public final class ChannelWords {

  private static final Map<String, String> WORDS =
      Map.of("push", "notice", "webhook", "web address");

  private ChannelWords() {}

  /**
   * The words for a channel.
   *
   * @param channel such as {@code mail}, or {@code mail-2} for the second one of its kind
   */
  public static String of(String channel) {
    String[] kindAndNumber = channel.split("-", 2);
    String kind = WORDS.getOrDefault(kindAndNumber[0], kindAndNumber[0]);
    return kindAndNumber.length == 1 ? kind : kind + " " + kindAndNumber[1];
  }
}
