// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.trip.Review;
import opercle.dashboard.trips.ReportPdf;
import opercle.dashboard.trips.TripDrawing;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The report of a trip with all that belongs to one is a sheet of paper, to be filed. */
class TripReportPageTest {

  @TempDir Path folder;

  @Test
  void reportOfAWholeTrip_isOnePage_withNothingLeftOut() throws Exception {
    byte[] pdf;
    List<String> lessons;
    try (FarmBook book = FarmBook.open(folder.resolve("book.db"))) {
      TripRecords trips = new TripRecords(book, "Sallowmere");
      trips.take(KeptTrips.splitLine("seen"));
      TripDesk desk =
          new TripDesk(
              FakeFarm.quiet(),
              new FakeTraces(),
              PastAlarms.NONE,
              () -> Optional.of(trips),
              Optional::empty);
      Review review = desk.review(desk.trip("seen"));
      ByteArrayOutputStream out = new ByteArrayOutputStream();
      ReportPdf.write(
          desk.report(review), TripDrawing.of(review, desk.trace(review.log()), desk.zone()), out);
      pdf = out.toByteArray();
      lessons = review.lessons().stream().map(l -> l.words()).toList();
    }
    String where = System.getProperty("opercle.keepReport");
    if (where != null) {
      Files.write(Path.of(where), pdf);
    }

    try (PDDocument document = Loader.loadPDF(pdf)) {
      String text = new PDFTextStripper().getText(document).replaceAll("\\s+", " ");
      assertThat(lessons).isNotEmpty().allSatisfy(words -> assertThat(text).contains(words));
      assertThat(text).contains("page 1 of 1");
      assertThat(document.getNumberOfPages()).isEqualTo(1);
    }
  }
}
