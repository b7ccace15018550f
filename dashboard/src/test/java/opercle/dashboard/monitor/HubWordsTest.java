// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class HubWordsTest {

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "cannot connect to the MQTT broker tcp://b:1883 as o: nothing answers there; is the broker running?"
            + "| cannot connect to the hub that probes send to, tcp://b:1883 as o: nothing answers there; is it running?",
        "no answer came that could be read; is the network up, and is it an MQTT broker?"
            + "| no answer came that could be read; is the network up, and is it the right address?",
        "the broker does not speak MQTT 5 (MQTT reason 0x84) | the hub does not speak MQTT 5",
        "the broker does not accept this client id (MQTT reason 0x85)"
            + "| the hub does not accept the name of this machine",
        "another client took over this client id (MQTT reason 0x8e)"
            + "| another machine took over: each needs a name of its own there",
        "wrong user name or password (MQTT reason 0x86) | wrong user name or password",
        "topic filter not valid (MQTT reason 0x8f) | name asked for not valid",
        "the broker did not answer in time | the hub did not answer in time",
        "the connection has ended | the connection has ended",
      })
  void sentencesOfTheLink_areSaidWithoutItsJargon(String ofTheLink, String words) {
    assertThat(HubWords.of(ofTheLink)).isEqualTo(words).doesNotContain("broker", "client", "topic");
  }
}
