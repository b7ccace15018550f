// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;

/** The pages: whole files from the jar, read once. What they show they fetch themselves. */
final class Pages {

  static final String FOLDER = "/opercle/dashboard/web";

  private final LiveFarm live;
  private final String yard = read("yard.html");
  private final String tank = read("tank.html");
  private final String notTaken = read("not-taken.html");
  private final String monitor = read("monitor.html");
  private final String device = read("device.html");
  private final String cab = read("cab.html");
  private final String offline = read("offline.html");
  private final String alarms = read("alarms.html");
  private final String figures = read("figures.html");
  private final String missing = read("missing.html");

  Pages(LiveFarm live) {
    this.live = live;
  }

  void routes(RoutesConfig routes) {
    routes.get("/", ctx -> page(ctx, yard));
    routes.get("/alarms", ctx -> page(ctx, alarms));
    routes.get("/alarms/figures", ctx -> page(ctx, figures));
    routes.get("/not-taken", ctx -> page(ctx, notTaken));
    routes.get("/monitor", ctx -> page(ctx, monitor));
    routes.get("/device", ctx -> page(ctx, device));
    routes.get("/cab", ctx -> page(ctx, cab));
    routes.get("/offline", ctx -> page(ctx, offline)); // the service worker's, when all else fails
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

  /** Says that there is no such page. */
  void missing(Context ctx) {
    page(ctx.status(404), missing);
  }

  private static void page(Context ctx, String html) {
    ctx.header("Cache-Control", "no-cache").html(html);
  }

  private static String read(String name) {
    try (InputStream in = Pages.class.getResourceAsStream(FOLDER + "/" + name)) {
      if (in == null) {
        throw new IllegalStateException("the jar lacks its page " + FOLDER + "/" + name);
      }
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
