// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.LoggerContext;
import ch.qos.logback.classic.spi.LoggingEvent;
import ch.qos.logback.core.spi.FilterReply;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class DeadLetterWarningsTest {

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "org.apache.activemq.artemis.core.server | AMQ222165: No Dead Letter Address configured | DENY",
        "org.apache.activemq.artemis.core.server | AMQ222166: No Expiry Address configured | DENY",
        "org.apache.activemq.artemis.core.server | AMQ222210: Free storage space is at 1 MB | NEUTRAL",
        "opercle.ingest.mqtt.MqttLink | AMQ222165: quoted by us | NEUTRAL",
      })
  void onlyTheTwoIdleWarnings_areKeptOut(String logger, String message, FilterReply reply) {
    LoggingEvent event =
        new LoggingEvent(
            "", new LoggerContext().getLogger(logger), Level.WARN, message, null, new Object[0]);

    assertThat(new DeadLetterWarnings().decide(event)).isEqualTo(reply);
  }
}
