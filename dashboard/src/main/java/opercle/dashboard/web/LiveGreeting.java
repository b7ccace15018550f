// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import jakarta.servlet.http.HttpServletRequest;
import java.time.Duration;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * What a listener is told first: whether the stream goes on where theirs broke off.
 *
 * @param is how it goes on
 * @param missed frames that were sent meanwhile and will not be sent again; only with {@link
 *     Is#RESUMED}
 * @param every from one frame to the next
 */
record LiveGreeting(Is is, long missed, Duration every) {

  /** How a stream goes on. */
  enum Is {
    /** The listener did not say that they had been here before. */
    NEW,
    /** The same run of the server: what was missed can be counted. */
    RESUMED,
    /** The server has been started anew since, or the id is not one of ours: nothing is known. */
    RESTARTED;

    String id() {
      return name().toLowerCase(Locale.ROOT);
    }
  }

  private static final Pattern ID = Pattern.compile("([0-9a-z]{1,16})-(\\d{1,15})");

  /**
   * The greeting to a request.
   *
   * @param request says the last id by the header {@code Last-Event-ID}, as browsers do by
   *     themselves, or by the parameter {@code after}, for a page that opens a new stream
   * @param run this run's name
   * @param newest number of the frame that will be sent first
   */
  static LiveGreeting to(HttpServletRequest request, String run, long newest, Duration every) {
    return lastId(request)
        .map(id -> to(id, run, newest, every))
        .orElse(new LiveGreeting(Is.NEW, 0, every));
  }

  private static LiveGreeting to(String lastId, String run, long newest, Duration every) {
    Matcher id = ID.matcher(lastId);
    if (id.matches() && id.group(1).equals(run)) {
      long had = Long.parseLong(id.group(2));
      if (had <= newest) {
        return new LiveGreeting(Is.RESUMED, Math.max(0, newest - had - 1), every);
      }
    }
    return new LiveGreeting(Is.RESTARTED, 0, every);
  }

  private static Optional<String> lastId(HttpServletRequest request) {
    @Nullable String header = request.getHeader("Last-Event-ID");
    @Nullable String id = header == null ? request.getParameter("after") : header;
    return Optional.ofNullable(id).filter(text -> !text.isEmpty());
  }

  /** The event, without an id of its own, so that the listener keeps the last frame's. */
  String event() {
    return "event: stream\ndata: {\"is\":\"%s\",\"missed\":%d,\"everyMs\":%d}\n\n"
        .formatted(is.id(), missed, every.toMillis());
  }
}
