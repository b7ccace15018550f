// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import java.io.IOException;
import java.io.OutputStream;
import java.text.Normalizer;
import java.util.ArrayList;
import java.util.List;
import opercle.dashboard.trips.TripDrawing.Kind;
import opercle.dashboard.trips.TripDrawing.Mark;
import opercle.dashboard.trips.TripReport.Fact;
import opercle.dashboard.trips.TripReport.Section;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.PDPageContentStream;
import org.apache.pdfbox.pdmodel.common.PDRectangle;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.apache.pdfbox.pdmodel.font.PDType1Font;
import org.apache.pdfbox.pdmodel.font.Standard14Fonts.FontName;

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

  private static final PDRectangle PAGE = PDRectangle.A4;
  private static final float WIDE_MARGIN = 48f;
  private static final float NARROW_MARGIN = 36f;
  private static final float USUAL_TEXT = 9.5f;
  private static final float USUAL_LEADING = 12.5f;
  private static final float USUAL_LABEL = 120f;
  private static final float[] CLOSER = {0.95f, 0.9f, 0.85f, 0.8f, 0.76f, 0.73f};
  private static final float CLOSE_PICTURE = 0.9f;
  private static final float GUTTER = 18f;
  private static final float INK = 0.1f;
  private static final float QUIET = 0.38f;

  private final PDDocument document;
  private final PDFont plain = new PDType1Font(FontName.HELVETICA);
  private final PDFont bold = new PDType1Font(FontName.HELVETICA_BOLD);
  private final List<PDPage> pages = new ArrayList<>();
  private final boolean isClose;
  private final float scale;
  private final float margin;
  private final float text;
  private final float leading;
  private PDPageContentStream out;
  private float y;

  /** The column that is written now. */
  private float left;

  private float width;

  private ReportPdf(PDDocument document, boolean isClose, float scale) throws IOException {
    this.document = document;
    this.isClose = isClose;
    this.scale = scale;
    this.margin = isClose ? NARROW_MARGIN : WIDE_MARGIN;
    this.text = USUAL_TEXT * scale;
    this.leading = USUAL_LEADING * scale;
    this.left = margin;
    this.width = PAGE.getWidth() - 2 * margin;
    this.out = newPage();
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
      ReportPdf pdf = new ReportPdf(document, isClose, scale);
      pdf.report(report, picture);
      if (pdf.pages.size() > mostPages) {
        return false;
      }
      document.save(to);
      return true;
    }
  }

  private void report(TripReport report, TripDrawing picture) throws IOException {
    paragraph(report.title(), bold, 18f * scale, 0f);
    y -= 3f;
    paragraph(report.subtitle(), plain, text, 0f);
    List<Section> sections = report.sections();
    for (int i = 0; i < sections.size(); i++) {
      boolean isPair =
          isClose
              && i > 0
              && i + 1 < sections.size()
              && isShort(sections.get(i))
              && isShort(sections.get(i + 1));
      if (isPair) {
        Section one = sections.get(i);
        i++;
        Section other = sections.get(i);
        sideBySide(() -> section(one), () -> section(other));
      } else {
        section(sections.get(i));
      }
      if (i == 0) {
        draw(picture);
      }
    }
    out.close();
    number();
  }

  private static boolean isShort(Section section) {
    return section.table().isEmpty() && section.lines().size() <= 2;
  }

  private interface Part {
    void write() throws IOException;
  }

  private void sideBySide(Part one, Part other) throws IOException {
    float whole = width;
    float top = y;
    width = (whole - GUTTER) / 2f;
    one.write();
    float foot = y;
    y = top;
    left = margin + width + GUTTER;
    other.write();
    y = Math.min(y, foot);
    left = margin;
    width = whole;
  }

  private PDPageContentStream newPage() throws IOException {
    PDPage page = new PDPage(PAGE);
    document.addPage(page);
    pages.add(page);
    y = PAGE.getHeight() - margin;
    return new PDPageContentStream(document, page);
  }

  /** Keeps what fits a page on one page; what is taller goes on from where it is. */
  private void together(float height) throws IOException {
    if (height <= PAGE.getHeight() - 2 * margin - 16f) {
      need(height);
    }
  }

  /** Begins a new page where less than so much is left. */
  private void need(float height) throws IOException {
    if (y - height < margin + 16f) {
      out.close();
      out = newPage();
    }
  }

  private void section(Section section) throws IOException {
    need(60f * scale);
    y -= (isClose ? 9f : 13f) * scale;
    paragraph(section.heading(), bold, 12.5f * scale, 0f);
    y -= 2f;
    int half = (section.facts().size() + 1) / 2;
    if (isClose && half > 2 && width > PAGE.getWidth() / 2f) {
      sideBySide(
          () -> facts(section.facts().subList(0, half)),
          () -> facts(section.facts().subList(half, section.facts().size())));
    } else {
      facts(section.facts());
    }
    if (!section.table().isEmpty()) {
      table(section.table());
    }
    for (String line : section.lines()) {
      need(leading);
      show("•", plain, text, left, y - text, QUIET);
      paragraph(line, plain, text, 10f);
    }
  }

  private void facts(List<Fact> facts) throws IOException {
    for (Fact fact : facts) {
      fact(fact);
    }
  }

  private void fact(Fact fact) throws IOException {
    float label = Math.min(USUAL_LABEL * scale, width * 0.4f);
    List<String> labels = wrapped(fact.label(), plain, text, label - 8f);
    List<String> words = wrapped(fact.words(), bold, text, width - label);
    int lines = Math.max(labels.size(), words.size());
    together(leading * lines);
    for (int i = 0; i < lines; i++) {
      need(leading);
      if (i < labels.size()) {
        show(labels.get(i), plain, text, left, y - text, QUIET);
      }
      if (i < words.size()) {
        show(words.get(i), bold, text, left + label, y - text, INK);
      }
      y -= leading;
    }
  }

  private void paragraph(String words, PDFont font, float size, float indent) throws IOException {
    float high = size * 1.3f;
    for (String line : wrapped(words, font, size, width - indent)) {
      need(high);
      show(line, font, size, left + indent, y - size, INK);
      y -= high;
    }
  }

  /** Columns as wide as their longest word needs, the rest shared by how much they hold. */
  private void table(List<List<String>> table) throws IOException {
    float[] widths = widths(table);
    for (int row = 0; row < table.size(); row++) {
      PDFont font = row == 0 ? bold : plain;
      List<List<String>> cells = new ArrayList<>();
      int lines = 1;
      for (int c = 0; c < widths.length; c++) {
        List<String> cell = wrapped(table.get(row).get(c), font, text - 1f, widths[c] - 8f);
        cells.add(cell);
        lines = Math.max(lines, cell.size());
      }
      together(lines * (leading - 1f) + 4f);
      for (int i = 0; i < lines; i++) {
        need(leading + 3f);
        float x = left;
        for (int c = 0; c < widths.length; c++) {
          if (i < cells.get(c).size()) {
            show(cells.get(c).get(i), font, text - 1f, x, y - text, INK);
          }
          x += widths[c];
        }
        y -= leading - 1f;
      }
      y -= 4f * scale;
      rule(y + 1f);
    }
    y -= 4f * scale;
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
              Math.max(least[c], Math.min(width / columns, width(word, bold, text - 1f)) + 10f);
        }
        wanted[c] = Math.max(wanted[c], Math.min(width, width(row.get(c), plain, text - 1f) + 10f));
      }
      leasts += least[c];
      wants += Math.max(0f, wanted[c] - least[c]);
    }
    float room = Math.max(0f, width - leasts);
    float squeezed = leasts > width ? width / leasts : 1f;
    float[] widths = new float[columns];
    for (int c = 0; c < columns; c++) {
      float more = wants == 0f ? 0f : Math.max(0f, wanted[c] - least[c]) / wants;
      widths[c] = least[c] * squeezed + room * more;
    }
    return widths;
  }

  private void rule(float at) throws IOException {
    out.setStrokingColor(0.75f);
    out.setLineWidth(0.4f);
    out.moveTo(left, at);
    out.lineTo(left + width, at);
    out.stroke();
  }

  private void draw(TripDrawing picture) throws IOException {
    float unit = width / (float) TripDrawing.WIDTH * (isClose ? CLOSE_PICTURE * scale : 1f);
    float height = (float) TripDrawing.HEIGHT * unit;
    need(height + 10f);
    y -= 10f * scale;
    float top = y;
    for (Mark mark : picture.marks()) {
      if (mark instanceof Mark.Box box) {
        out.setNonStrokingColor(mark.kind() == Kind.FAILURE ? 0.55f : 0.88f);
        out.addRect(
            left + (float) box.x() * unit,
            top - (float) (box.y() + box.height()) * unit,
            (float) box.width() * unit,
            (float) box.height() * unit);
        out.fill();
      } else if (mark instanceof Mark.Line line) {
        stroke(line, top, unit);
      } else if (mark instanceof Mark.Words words) {
        PDFont font = mark.kind() == Kind.STRONG ? bold : plain;
        float size = 11f * unit;
        float start =
            left
                + (float) words.x() * unit
                - (float) words.anchor() * width(words.text(), font, size);
        float foot = top - (float) words.y() * unit;
        out.setNonStrokingColor(1f); // no line runs through words
        out.addRect(start - 1f, foot - size * 0.25f, width(words.text(), font, size) + 2f, size);
        out.fill();
        show(words.text(), font, size, start, foot, INK);
      }
    }
    y = top - height;
  }

  private void stroke(Mark.Line line, float top, float unit) throws IOException {
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
      float x = left + line.points().get(i).floatValue() * unit;
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

  private void number() throws IOException {
    for (int i = 0; i < pages.size(); i++) {
      out =
          new PDPageContentStream(
              document, pages.get(i), PDPageContentStream.AppendMode.APPEND, true, true);
      String words = "Opercle, page %d of %d".formatted(i + 1, pages.size());
      show(words, plain, 8f, margin, margin - 14f, QUIET);
      out.close();
    }
  }

  private void show(String text, PDFont font, float size, float x, float at, float grey)
      throws IOException {
    out.setNonStrokingColor(grey);
    out.beginText();
    out.setFont(font, size);
    out.newLineAtOffset(x, at);
    out.showText(written(text, font));
    out.endText();
  }

  private List<String> wrapped(String text, PDFont font, float size, float width)
      throws IOException {
    List<String> lines = new ArrayList<>();
    for (String paragraph : text.split("\n", -1)) {
      StringBuilder line = new StringBuilder();
      for (String word : paragraph.split(" +", -1)) {
        for (String part : broken(word, font, size, width)) {
          String longer = line.isEmpty() ? part : line + " " + part;
          if (!line.isEmpty() && width(longer, font, size) > width) {
            lines.add(line.toString());
            line.setLength(0);
            line.append(part);
          } else {
            line.setLength(0);
            line.append(longer);
          }
        }
      }
      lines.add(line.toString());
    }
    return lines;
  }

  /** A word that is wider than its column, in pieces. */
  private List<String> broken(String word, PDFont font, float size, float width)
      throws IOException {
    List<String> parts = new ArrayList<>();
    String left = word;
    while (left.length() > 1 && width(left, font, size) > width) {
      int end = left.length() - 1;
      while (end > 1 && width(left.substring(0, end), font, size) > width) {
        end--;
      }
      parts.add(left.substring(0, end));
      left = left.substring(end);
    }
    parts.add(left);
    return parts;
  }

  private float width(String text, PDFont font, float size) throws IOException {
    return font.getStringWidth(written(text, font)) / 1000f * size;
  }

  /** The text in letters that the face has. */
  private static String written(String text, PDFont font) {
    StringBuilder written = new StringBuilder(text.length());
    text.codePoints()
        .forEach(
            c -> {
              String letter = Character.toString(c);
              if (isWritten(letter, font)) {
                written.append(letter);
              } else {
                String bare =
                    switch (letter) {
                      case "ł" -> "l";
                      case "Ł" -> "L";
                      default ->
                          Normalizer.normalize(letter, Normalizer.Form.NFD)
                              .replaceAll("\\p{M}+", "");
                    };
                written.append(isWritten(bare, font) ? bare : "?");
              }
            });
    return written.toString();
  }

  private static boolean isWritten(String text, PDFont font) {
    try {
      return !text.isEmpty() && font.encode(text).length > 0;
    } catch (IOException | IllegalArgumentException e) {
      return false; // the face has no such letter
    }
  }
}
