// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import static org.assertj.core.api.Assertions.assertThat;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.Logger;
import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.core.read.ListAppender;
import java.time.Instant;
import java.util.List;
import java.util.OptionalDouble;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.slf4j.LoggerFactory;

class AlarmLogTest {

  private final Logger logger = (Logger) LoggerFactory.getLogger("opercle.alarm");
  private final ListAppender<ILoggingEvent> written = new ListAppender<>();

  @BeforeEach
  void listen() {
    logger.setLevel(Level.INFO);
    logger.setAdditive(false);
    written.start();
    logger.addAppender(written);
  }

  @AfterEach
  void stopListening() {
    logger.detachAppender(written);
    logger.setAdditive(true);
    logger.setLevel(null);
  }

  @Test
  void raisedAndEscalated_areWarnings_theRestAreNotes_eachWithItsWords() {
    new AlarmLog()
        .events(
            List.of(
                event(AlarmEvent.Kind.RAISED),
                event(AlarmEvent.Kind.ESCALATED),
                event(AlarmEvent.Kind.ACKNOWLEDGED),
                event(AlarmEvent.Kind.CLEARED)));

    assertThat(written.list)
        .extracting(e -> e.getLevel() + " " + e.getFormattedMessage())
        .containsExactly(
            "WARN high raised h1 gas-line-stopped: Holding 1: no gas flow for 8 s.",
            "WARN high escalated h1 gas-line-stopped: Holding 1: no gas flow for 8 s.",
            "INFO acknowledged h1 gas-line-stopped: Holding 1: no gas flow for 8 s.",
            "INFO cleared h1 gas-line-stopped: Holding 1: no gas flow for 8 s.");
  }

  private static AlarmEvent event(AlarmEvent.Kind kind) {
    return new AlarmEvent(
        Instant.parse("2026-03-14T02:11:07Z"),
        "h1",
        AlarmCause.GAS_LINE_STOPPED,
        kind,
        Priority.HIGH,
        AlarmState.UNACKNOWLEDGED,
        OptionalDouble.of(31.5),
        OptionalDouble.of(8.62),
        "Holding 1: no gas flow for 8 s.");
  }
}
