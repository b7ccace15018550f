// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import io.javalin.http.Context;
import opercle.dashboard.web.PageFrame;

/** How the pages behind links look, and what they send along. Immutable; for any thread. */
final class HaveFrame {

  static final int LONGEST_TOKEN = 1500;

  private static final String BUTTON =
      "<form method=\"post\"><button type=\"submit\" class=\"solid big\">I have it</button></form>";

  private final String page = new PageFrame().plain("have", "I have it", "have");

  /** Says something, with nothing to press. */
  void say(Context ctx, int status, String heading, String words) {
    write(ctx, status, heading, "", words, "", false);
  }

  void write(
      Context ctx,
      int status,
      String heading,
      String minutes,
      String words,
      String after,
      boolean button) {
    String html =
        page.replace("{{form}}", button ? BUTTON : "")
            .replace("{{minutes}}", escaped(minutes))
            .replace("{{after}}", escaped(after))
            .replace("{{words}}", escaped(words))
            .replace("{{heading}}", escaped(heading));
    ctx.status(status).html(html);
  }

  /** The token must not stay in caches, nor go to other sites; and the form may be sent. */
  static void strict(Context ctx) {
    ctx.header("Cache-Control", "no-store");
    // Not no-referrer, as elsewhere: browsers then send the form as if from nowhere.
    ctx.header("Referrer-Policy", "same-origin");
    ctx.header("X-Robots-Tag", "noindex, nofollow");
    ctx.header(
        "Content-Security-Policy",
        "default-src 'none'; style-src 'self'; img-src 'self'; base-uri 'none';"
            + " form-action 'self'; frame-ancestors 'none'");
  }

  private static String escaped(String text) {
    return text.replace("&", "&amp;")
        .replace("<", "&lt;")
        .replace(">", "&gt;")
        .replace("\"", "&quot;")
        .replace("{", "&#123;");
  }
}
