// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import org.jspecify.annotations.Nullable;

/**
 * What somebody reads in a browser whose request was refused, by whichever part. Programs are
 * answered by the {@link Problem} itself. For any thread.
 */
final class RefusedPage {

  static final String CONTENT_TYPE = "text/html;charset=utf-8";

  private static final PageFrame FRAME = new PageFrame();
  private static final String REFUSED = FRAME.plain("refused", "Not done");
  private static final String MISSING = FRAME.plain("missing", "Not here");
  private static final String FAILED = FRAME.plain("failed", "Not shown");

  private RefusedPage() {}

  /**
   * Whether a person is at the other end: a page is asked for, and nothing for a program.
   *
   * @param accept what the asker takes; null where it does not say
   */
  static boolean isWanted(String path, @Nullable String accept) {
    boolean isForPrograms =
        path.startsWith("/api/")
            || path.startsWith("/health/")
            || path.equals("/metrics")
            || path.equals("/live");
    return !isForPrograms && accept != null && accept.contains("text/html");
  }

  /** The page, UTF-8. */
  static byte[] html(Problem problem) {
    String page =
        problem.status() >= 500
            ? FAILED
            : problem.status() == 404
                ? MISSING
                : REFUSED.replace("{{words}}", RegisterPage.text(words(problem)));
    return page.getBytes(StandardCharsets.UTF_8);
  }

  /** Answers as whoever asked can read it. */
  static void answer(HttpServletRequest request, HttpServletResponse response, Problem problem)
      throws IOException {
    boolean isPage = isWanted(request.getRequestURI(), request.getHeader("Accept"));
    response.setStatus(problem.status());
    response.setContentType(isPage ? CONTENT_TYPE : Problem.CONTENT_TYPE);
    response.getOutputStream().write(isPage ? html(problem) : problem.json());
  }

  private static String words(Problem problem) {
    return switch (problem.status()) {
      case 405 -> "This address only shows something; nothing can be sent to it.";
      case 413, 414, 431 -> "More was sent than the server takes.";
      case 415 -> "This came in a form that is not known here.";
      default -> String.valueOf(problem.getMessage());
    };
  }
}
