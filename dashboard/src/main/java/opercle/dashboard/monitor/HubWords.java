// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import java.util.regex.Pattern;

/**
 * What the link to the broker says, for those who keep fish: they have a hub that their probes send
 * to. The log keeps the words of the standard, for whoever mends it.
 */
public final class HubWords {

  private static final Pattern REASON_CODE = Pattern.compile(" \\(MQTT reason 0x[0-9a-f]+\\)");

  private HubWords() {}

  /** The same sentence in keepers' words. */
  public static String of(String ofTheLink) {
    return REASON_CODE
        .matcher(ofTheLink)
        .replaceAll("")
        .replace(
            "another client took over this client id",
            "another machine took over: each needs a name of its own there")
        .replace("this client id", "the name of this machine")
        .replace("is the broker running?", "is it running?")
        .replace("is it an MQTT broker?", "is it the right address?")
        .replace("the MQTT broker", "the hub that probes send to,")
        .replace("the broker", "the hub")
        .replace("topic filter", "name asked for")
        .replace("topic name", "name")
        .replace("client id", "name of this machine");
  }
}
