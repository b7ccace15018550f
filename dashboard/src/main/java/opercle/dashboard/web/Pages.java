// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import opercle.dashboard.web.PageFrame.At;

/** The pages: put together from the jar once. What they show they fetch themselves. */
final class Pages {

  private final LiveFarm live;
  private final PageFrame frame = new PageFrame();
  private final String tank =
      frame.live("tank", "Tank", At.behind("/"), "/charts/uPlot.min.css", "parts", "tank", "setup");
  private final String missing = frame.still("missing", "Not here");
  private final String failed = frame.still("failed", "Not shown");
  private final String notForYou = frame.still("not-for-you", "Not for you");

  Pages(LiveFarm live) {
    this.live = live;
  }

  void routes(RoutesConfig routes) {
    serve(routes, "/", frame.live("yard", "", At.page("/"), "parts", "yard"));
    serve(
        routes, "/evening", frame.live("evening", "Evening check", At.page("/evening"), "evening"));
    serve(routes, "/plan", frame.live("plan", "Load plan", At.page("/plan"), "plan"));
    serve(routes, "/alarms", frame.live("alarms", "Alarms", At.page("/alarms"), "parts", "alarms"));
    serve(
        routes,
        "/alarms/figures",
        frame.live("figures", "How good are our alarms?", At.behind("/alarms"), "alarms"));
    serve(
        routes,
        "/not-taken",
        frame.live("not-taken", "Not taken", At.page("/not-taken"), "not-taken"));
    serve(
        routes,
        "/monitor",
        frame.live("monitor", "The monitor", At.behind("/not-taken"), "monitor"));
    serve(
        routes,
        "/setup",
        frame.live("setup", "Tanks and probes", At.behind("/"), "parts", "tank", "setup"));
    serve(routes, "/login", frame.still("login", "Log in", "login"));
    serve(
        routes, "/users", frame.live("users", "Who may come in", At.behind("/"), "setup", "users"));
    serve(routes, "/device", frame.live("device-page", "This device", At.NOWHERE, "device"));
    serve(routes, "/cab", frame.live("cab", "In the cab", At.NOWHERE, "cab"));
    // The service worker's, when all else fails.
    serve(routes, "/offline", frame.still("offline", "Not reached", "offline"));
    routes.get(
        "/tank/{id}",
        ctx -> {
          if (live.farm().tank(ctx.pathParam("id")).isPresent()) {
            page(ctx, tank);
          } else {
            missing(ctx);
          }
        });
  }

  /** Whether a page is asked for, and not something for a program. */
  static boolean isPage(Context ctx) {
    return !ctx.path().startsWith("/api/") && !ctx.path().equals("/metrics");
  }

  /** Says that the page is for another role. */
  void notForYou(Context ctx) {
    page(ctx.status(403), notForYou);
  }

  /** Says that there is no such page. */
  void missing(Context ctx) {
    page(ctx.status(404), missing);
  }

  /** Says that the page cannot be shown just now. */
  void failed(Context ctx, int status) {
    page(ctx.status(status), failed);
  }

  private static void serve(RoutesConfig routes, String path, String html) {
    routes.get(path, ctx -> page(ctx, html));
  }

  private static void page(Context ctx, String html) {
    ctx.header("Cache-Control", "no-cache").html(html);
  }
}
