// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import org.apache.pdfbox.pdmodel.font.PDFont;

/** A table on a sheet, its first row the headings. */
final class PdfTable {

  private final PdfSheet sheet;

  PdfTable(PdfSheet sheet) {
    this.sheet = sheet;
  }

  /** Columns as wide as their longest word needs, the rest shared by how much they hold. */
  void write(List<List<String>> table) throws IOException {
    float[] widths = widths(table);
    for (int row = 0; row < table.size(); row++) {
      PDFont font = row == 0 ? sheet.bold : sheet.plain;
      List<List<String>> cells = new ArrayList<>();
      int lines = 1;
      for (int c = 0; c < widths.length; c++) {
        List<String> cell =
            Lettering.wrapped(table.get(row).get(c), font, sheet.text - 1f, widths[c] - 8f);
        cells.add(cell);
        lines = Math.max(lines, cell.size());
      }
      sheet.together(lines * (sheet.leading - 1f) + 4f);
      for (int i = 0; i < lines; i++) {
        sheet.need(sheet.leading + 3f);
        float x = sheet.left();
        for (int c = 0; c < widths.length; c++) {
          if (i < cells.get(c).size()) {
            sheet.show(
                cells.get(c).get(i),
                font,
                sheet.text - 1f,
                x,
                sheet.y() - sheet.text,
                PdfSheet.INK);
          }
          x += widths[c];
        }
        sheet.down(sheet.leading - 1f);
      }
      sheet.down(4f * sheet.scale);
      sheet.rule(sheet.y() + 1f);
    }
    sheet.down(4f * sheet.scale);
  }

  private float[] widths(List<List<String>> table) throws IOException {
    int columns = table.get(0).size();
    float[] least = new float[columns];
    float[] wanted = new float[columns];
    float leasts = 0f;
    float wants = 0f;
    for (int c = 0; c < columns; c++) {
      for (List<String> row : table) {
        for (String word : row.get(c).split("\\s+", -1)) {
          least[c] =
              Math.max(
                  least[c],
                  Math.min(
                          sheet.width() / columns,
                          Lettering.width(word, sheet.bold, sheet.text - 1f))
                      + 10f);
        }
        wanted[c] =
            Math.max(
                wanted[c],
                Math.min(
                    sheet.width(),
                    Lettering.width(row.get(c), sheet.plain, sheet.text - 1f) + 10f));
      }
      leasts += least[c];
      wants += Math.max(0f, wanted[c] - least[c]);
    }
    float room = Math.max(0f, sheet.width() - leasts);
    float squeezed = leasts > sheet.width() ? sheet.width() / leasts : 1f;
    float[] widths = new float[columns];
    for (int c = 0; c < columns; c++) {
      float more = wants == 0f ? 0f : Math.max(0f, wanted[c] - least[c]) / wants;
      widths[c] = least[c] * squeezed + room * more;
    }
    return widths;
  }
}
