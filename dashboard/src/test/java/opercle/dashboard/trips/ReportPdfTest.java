// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import opercle.dashboard.trips.TripReport.Fact;
import opercle.dashboard.trips.TripReport.Section;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.apache.pdfbox.text.TextPosition;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A report with more in one row, fact or line than a page takes: all of it is there. */
class ReportPdfTest {

  private static final int WORDS = 2_000;

  @TempDir Path folder;

  private static String words(String stem) {
    return IntStream.range(0, WORDS).mapToObj(i -> stem + i).collect(Collectors.joining(" "));
  }

  private static byte[] pdf() throws IOException {
    TripReport report =
        new TripReport(
            "Holding 2 to Long Pool",
            "14 March 2026",
            List.of(
                new Section(
                    "The trip", List.of(new Fact("Load", words("f"))), List.of(), List.of()),
                new Section(
                    "Checks",
                    List.of(),
                    List.of(
                        List.of("When", "Fish", "Note"),
                        List.of("09:00", "restless", words("n")),
                        List.of("10:00", "low and quiet", "")),
                    List.of(words("l")))));
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ReportPdf.write(report, new TripDrawing(List.of()), out);
    return out.toByteArray();
  }

  @Test
  void rowTallerThanAPage_goesOnOverPages_andNothingOfItIsCut() throws Exception {
    try (PDDocument document = Loader.loadPDF(pdf())) {
      String text =
          new PDFTextStripper() {
            @Override
            protected void processTextPosition(TextPosition position) {
              assertThat(position.getXDirAdj()).isGreaterThanOrEqualTo(30f);
              assertThat(position.getXDirAdj() + position.getWidthDirAdj()).isLessThan(595f - 30f);
              assertThat(position.getYDirAdj()).isBetween(30f, 842f - 20f);
              super.processTextPosition(position);
            }
          }.getText(document);

      assertThat(document.getNumberOfPages()).isGreaterThan(3);
      isWhole(text);
    }
  }

  private static void isWhole(String text) {
    assertThat(List.of(text.split("\\s+", -1)))
        .containsAll(List.of(words("f").split(" ", -1)))
        .containsAll(List.of(words("n").split(" ", -1)))
        .containsAll(List.of(words("l").split(" ", -1)));
  }

  @Test
  void anotherReaderOpensIt_andFindsItsTextAsText() throws Exception {
    isWhole(Paper.read(Files.write(folder.resolve("report.pdf"), pdf()), folder).text());
  }
}
