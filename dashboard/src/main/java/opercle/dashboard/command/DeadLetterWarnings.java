// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.core.filter.Filter;
import ch.qos.logback.core.spi.FilterReply;

/**
 * Keeps two warnings of the embedded broker out of the log, and nothing else: for every queue it
 * says that it has neither a dead-letter nor an expiry address, and we want none. What it says of a
 * full disk must be seen. Named in {@code logback.xml}; safe for many threads.
 */
public final class DeadLetterWarnings extends Filter<ILoggingEvent> {

  @Override
  public FilterReply decide(ILoggingEvent event) {
    String message = event.getMessage();
    boolean idle =
        event.getLoggerName().startsWith("org.apache.activemq")
            && message != null
            && (message.startsWith("AMQ222165")
                || message.startsWith("AMQ222166")
                // A wrong password, at every try; the door says so itself, once.
                || message.startsWith("AMQ222216"));
    return idle ? FilterReply.DENY : FilterReply.NEUTRAL;
  }
}
