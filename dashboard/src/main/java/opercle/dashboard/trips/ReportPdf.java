// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import java.io.IOException;
import java.io.OutputStream;
import java.util.List;
import opercle.dashboard.trips.TripReport.Fact;
import opercle.dashboard.trips.TripReport.Section;
import org.apache.pdfbox.pdmodel.PDDocument;

/**
 * A report as PDF, A4: real text in the two plain faces that every reader has, the picture as
 * lines. Letters that those faces lack lose their marks (ł becomes l) or become a question mark. A
 * report that is to be filed is one sheet: where it takes more, it is set closer, parts side by
 * side, down to letters that are still easily read (7 pt); only what does not fit so goes on over
 * pages. One report, one thread.
 */
public final class ReportPdf {

  static {
    // The library lists the machine's fonts once, in a file; it need not lie in somebody's home.
    if (System.getProperty("pdfbox.fontcache") == null) {
      System.setProperty("pdfbox.fontcache", System.getProperty("java.io.tmpdir", "."));
    }
  }

  private static final float USUAL_LABEL = 120f;
  private static final float[] CLOSER = {0.95f, 0.9f, 0.85f, 0.8f, 0.76f, 0.73f};

  private final PdfSheet sheet;

  private ReportPdf(PdfSheet sheet) {
    this.sheet = sheet;
  }

  /** Writes the report; the stream stays open. */
  public static void write(TripReport report, TripDrawing picture, OutputStream to)
      throws IOException {
    if (wrote(report, picture, false, 1f, 1, to)) {
      return;
    }
    for (float scale : CLOSER) {
      if (wrote(report, picture, true, scale, 1, to)) {
        return;
      }
    }
    var unused = wrote(report, picture, false, 1f, Integer.MAX_VALUE, to);
  }

  /** Writes it if it takes no more than so many pages. */
  private static boolean wrote(
      TripReport report,
      TripDrawing picture,
      boolean isClose,
      float scale,
      int mostPages,
      OutputStream to)
      throws IOException {
    try (PDDocument document = new PDDocument()) {
      document.getDocumentInformation().setTitle(report.title());
      document.getDocumentInformation().setCreator("Opercle");
      PdfSheet sheet = new PdfSheet(document, isClose, scale);
      new ReportPdf(sheet).report(report, picture);
      if (sheet.count() > mostPages) {
        return false;
      }
      document.save(to);
      return true;
    }
  }

  private void report(TripReport report, TripDrawing picture) throws IOException {
    sheet.paragraph(report.title(), sheet.bold, 18f * sheet.scale, 0f);
    sheet.down(3f);
    sheet.paragraph(report.subtitle(), sheet.plain, sheet.text, 0f);
    List<Section> sections = report.sections();
    for (int i = 0; i < sections.size(); i++) {
      boolean isPair =
          sheet.isClose
              && i > 0
              && i + 1 < sections.size()
              && isShort(sections.get(i))
              && isShort(sections.get(i + 1));
      if (isPair) {
        Section one = sections.get(i);
        i++;
        Section other = sections.get(i);
        sheet.sideBySide(() -> section(one), () -> section(other));
      } else {
        section(sections.get(i));
      }
      if (i == 0) {
        new PdfDrawing(sheet).draw(picture);
      }
    }
    sheet.end();
  }

  private static boolean isShort(Section section) {
    return section.table().isEmpty() && section.lines().size() <= 2;
  }

  private void section(Section section) throws IOException {
    sheet.need(60f * sheet.scale);
    sheet.down((sheet.isClose ? 9f : 13f) * sheet.scale);
    sheet.paragraph(section.heading(), sheet.bold, 12.5f * sheet.scale, 0f);
    sheet.down(2f);
    int half = (section.facts().size() + 1) / 2;
    if (sheet.isClose && half > 2 && sheet.isWide()) {
      sheet.sideBySide(
          () -> facts(section.facts().subList(0, half)),
          () -> facts(section.facts().subList(half, section.facts().size())));
    } else {
      facts(section.facts());
    }
    if (!section.table().isEmpty()) {
      new PdfTable(sheet).write(section.table());
    }
    for (String line : section.lines()) {
      sheet.need(sheet.leading);
      sheet.show(
          "•", sheet.plain, sheet.text, sheet.left(), sheet.y() - sheet.text, PdfSheet.QUIET);
      sheet.paragraph(line, sheet.plain, sheet.text, 10f);
    }
  }

  private void facts(List<Fact> facts) throws IOException {
    for (Fact fact : facts) {
      fact(fact);
    }
  }

  private void fact(Fact fact) throws IOException {
    float label = Math.min(USUAL_LABEL * sheet.scale, sheet.width() * 0.4f);
    List<String> labels = Lettering.wrapped(fact.label(), sheet.plain, sheet.text, label - 8f);
    List<String> words =
        Lettering.wrapped(fact.words(), sheet.bold, sheet.text, sheet.width() - label);
    int lines = Math.max(labels.size(), words.size());
    sheet.together(sheet.leading * lines);
    for (int i = 0; i < lines; i++) {
      sheet.need(sheet.leading);
      if (i < labels.size()) {
        sheet.show(
            labels.get(i),
            sheet.plain,
            sheet.text,
            sheet.left(),
            sheet.y() - sheet.text,
            PdfSheet.QUIET);
      }
      if (i < words.size()) {
        sheet.show(
            words.get(i),
            sheet.bold,
            sheet.text,
            sheet.left() + label,
            sheet.y() - sheet.text,
            PdfSheet.INK);
      }
      sheet.down(sheet.leading);
    }
  }
}
