// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import jakarta.servlet.http.HttpServlet;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;

/**
 * The address of the live stream. A servlet of its own beside the routes, because those write
 * blocking, and {@link LiveFeed} must not.
 */
final class LiveServlet extends HttpServlet {

  private static final long serialVersionUID = 1L;

  private final transient LiveFeed feed;

  LiveServlet(LiveFeed feed) {
    this.feed = feed;
  }

  @Override
  protected void doGet(HttpServletRequest request, HttpServletResponse response)
      throws IOException {
    feed.open(request, response);
  }

  /** Whoever asks for the headers alone is not a listener: nothing would ever be sent to them. */
  @Override
  protected void doHead(HttpServletRequest request, HttpServletResponse response) {
    response.setContentType(LiveFeed.CONTENT_TYPE);
  }
}
