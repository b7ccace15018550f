// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import java.io.IOException;
import opercle.dashboard.trips.TripDrawing.Kind;
import opercle.dashboard.trips.TripDrawing.Mark;
import org.apache.pdfbox.pdmodel.PDPageContentStream;
import org.apache.pdfbox.pdmodel.font.PDFont;

/** The course of a trip as lines and words on a sheet. */
final class PdfDrawing {

  private static final float CLOSE_PICTURE = 0.9f;

  private final PdfSheet sheet;

  PdfDrawing(PdfSheet sheet) {
    this.sheet = sheet;
  }

  /** Draws it over the column. */
  void draw(TripDrawing picture) throws IOException {
    float unit =
        sheet.width()
            / (float) TripDrawing.WIDTH
            * (sheet.isClose ? CLOSE_PICTURE * sheet.scale : 1f);
    float height = (float) TripDrawing.HEIGHT * unit;
    sheet.need(height + 10f);
    PDPageContentStream out = sheet.ink();
    sheet.down(10f * sheet.scale);
    float top = sheet.y();
    for (Mark mark : picture.marks()) {
      if (mark instanceof Mark.Box box) {
        out.setNonStrokingColor(mark.kind() == Kind.FAILURE ? 0.55f : 0.88f);
        out.addRect(
            sheet.left() + (float) box.x() * unit,
            top - (float) (box.y() + box.height()) * unit,
            (float) box.width() * unit,
            (float) box.height() * unit);
        out.fill();
      } else if (mark instanceof Mark.Line line) {
        stroke(line, top, unit);
      } else if (mark instanceof Mark.Words words) {
        PDFont font = mark.kind() == Kind.STRONG ? sheet.bold : sheet.plain;
        float size = 11f * unit;
        float start =
            sheet.left()
                + (float) words.x() * unit
                - (float) words.anchor() * Lettering.width(words.text(), font, size);
        float foot = top - (float) words.y() * unit;
        out.setNonStrokingColor(1f); // no line runs through words
        out.addRect(
            start - 1f, foot - size * 0.25f, Lettering.width(words.text(), font, size) + 2f, size);
        out.fill();
        sheet.show(words.text(), font, size, start, foot, PdfSheet.INK);
      }
    }
    sheet.down(height);
  }

  private void stroke(Mark.Line line, float top, float unit) throws IOException {
    PDPageContentStream out = sheet.ink();
    Kind kind = line.kind();
    out.setStrokingColor(
        switch (kind) {
          case GRID -> 0.85f;
          case CHECK, EVENT, GAS -> 0.45f;
          default -> 0.1f;
        });
    out.setLineWidth(
        switch (kind) {
          case GRID -> 0.4f;
          case TRACE -> 1.1f;
          case CRITICAL, ALARM -> 1.4f;
          default -> 0.8f;
        });
    out.setLineDashPattern(
        switch (kind) {
          case FLOOR -> new float[] {4f, 3f};
          case CHECK -> new float[] {1f, 2f};
          case EVENT -> new float[] {5f, 2f};
          default -> new float[] {};
        },
        0f);
    for (int i = 0; i + 1 < line.points().size(); i += 2) {
      float x = sheet.left() + line.points().get(i).floatValue() * unit;
      float at = top - line.points().get(i + 1).floatValue() * unit;
      if (i == 0) {
        out.moveTo(x, at);
      } else {
        out.lineTo(x, at);
      }
    }
    out.stroke();
    out.setLineDashPattern(new float[] {}, 0f);
  }
}
