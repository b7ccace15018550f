// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import io.javalin.http.Context;
import java.io.IOException;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import opercle.analysis.book.PhotoRecords;
import opercle.analysis.trip.Review;
import opercle.analysis.trip.TripLog;
import opercle.analysis.tripfile.TripFile;
import opercle.dashboard.trips.DrawingSvg;
import opercle.dashboard.trips.ReportPdf;
import opercle.dashboard.trips.TripDrawing;
import opercle.dashboard.trips.TripReport;
import opercle.ingest.reading.Reading;

/** A trip to take away: as a picture, a report, a file and a trace. For any thread. */
final class TripCopies {

  private final TripDesk desk;
  private final Supplier<Optional<PhotoRecords>> photos;

  /**
   * @param photos pictures that go with checks
   */
  TripCopies(TripDesk desk, Supplier<Optional<PhotoRecords>> photos) {
    this.desk = desk;
    this.photos = photos;
  }

  /** The drawing of its course. */
  void picture(Context ctx) {
    Review review = desk.review(desk.trip(ctx.pathParam("id")));
    TripDrawing drawing = TripDrawing.of(review, desk.trace(review.log()), desk.zone());
    ctx.header("Cache-Control", "no-store")
        .contentType("image/svg+xml; charset=utf-8")
        .result(DrawingSvg.of(drawing, TripPages.label(review)));
  }

  /** The report. */
  void pdf(Context ctx) throws IOException {
    Review review = desk.review(desk.trip(ctx.pathParam("id")));
    TripDrawing drawing = TripDrawing.of(review, desk.trace(review.log()), desk.zone());
    ctx.contentType("application/pdf");
    attached(ctx, review, ".pdf");
    ReportPdf.write(desk.report(review), drawing, ctx.outputStream());
  }

  /** All of it, to be taken in elsewhere. */
  void file(Context ctx) throws IOException {
    TripLog log = desk.trip(ctx.pathParam("id"));
    TripFile bare = desk.file(log);
    TripFile file = bare.withPhotos(PhotoApi.of(photos, bare.log()));
    ctx.contentType("application/json");
    attached(ctx, desk.review(log), ".json");
    file.write(ctx.outputStream());
  }

  /** Its readings as a trace. */
  void csv(Context ctx) throws IOException {
    TripLog log = desk.trip(ctx.pathParam("id"));
    List<Reading> readings = desk.readings(log);
    ctx.contentType(CsvReadings.FORM.contentType());
    attached(ctx, desk.review(log), ".csv");
    TraceExport.Writer csv = CsvReadings.FORM.begin(ctx.outputStream());
    for (Reading reading : readings) {
      csv.write(reading);
    }
    csv.end();
  }

  private static void attached(Context ctx, Review review, String ending) {
    ctx.header("Cache-Control", "no-store")
        .header(
            "Content-Disposition",
            "attachment; filename=\"%s\"".formatted(TripReport.fileName(review, ending)));
  }
}
