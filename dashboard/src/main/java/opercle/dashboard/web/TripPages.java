// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import io.javalin.http.NotFoundResponse;
import java.util.Locale;
import opercle.analysis.trip.Review;
import opercle.analysis.trip.TripLog;
import opercle.dashboard.trips.DrawingSvg;
import opercle.dashboard.trips.ReportHtml;
import opercle.dashboard.trips.TripDrawing;
import opercle.dashboard.web.PageFrame.At;

/** The pages of trips: the list, one trip, and its report to print. */
final class TripPages {

  private final TripDesk desk;
  private final String list;
  private final String one;
  private final String report;

  TripPages(TripDesk desk) {
    this.desk = desk;
    PageFrame frame = new PageFrame();
    this.list = frame.live("trips", "Trips", At.page("/trips"), "trips");
    this.one = frame.live("trip", "Trip", At.behind("/trips"), "trips");
    this.report = frame.plain("trip-report", "Trip report", "trips");
  }

  void routes(RoutesConfig routes) {
    routes.get("/trips", ctx -> html(ctx, list));
    routes.get(
        "/trips/{id}",
        ctx -> {
          var unused = trip(ctx);
          html(ctx, one);
        });
    routes.get("/trips/{id}/report", this::report);
  }

  private TripLog trip(Context ctx) {
    return desk.find(ctx.pathParam("id")).orElseThrow(NotFoundResponse::new);
  }

  private void report(Context ctx) {
    TripLog log = trip(ctx);
    Review review = desk.review(log);
    String picture =
        DrawingSvg.of(TripDrawing.of(review, desk.trace(log), desk.zone()), label(review));
    String words = ReportHtml.of(desk.report(review), picture);
    html(ctx, report.replace("{{report}}", words));
  }

  /** The picture in words, for who does not see it. */
  static String label(Review review) {
    return review
        .oxygen()
        .map(
            o ->
                String.format(
                    Locale.ROOT,
                    "Oxygen over the trip, lowest %.2f mg/L; floors, gas, checks and alarms",
                    o.lowestMgPerL()))
        .orElse("No oxygen reading of this trip is kept");
  }

  private static void html(Context ctx, String html) {
    ctx.header("Cache-Control", "no-cache").html(html);
  }
}
