// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.PDPageContentStream;
import org.apache.pdfbox.pdmodel.common.PDRectangle;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.apache.pdfbox.pdmodel.font.PDType1Font;
import org.apache.pdfbox.pdmodel.font.Standard14Fonts.FontName;

/**
 * Sheets of A4 that are written from the top down, in one column or two, as many as it takes. One
 * thread.
 */
final class PdfSheet {

  private static final PDRectangle PAGE = PDRectangle.A4;
  private static final float WIDE_MARGIN = 48f;
  private static final float NARROW_MARGIN = 36f;
  private static final float USUAL_TEXT = 9.5f;
  private static final float USUAL_LEADING = 12.5f;
  private static final float GUTTER = 18f;
  static final float INK = 0.1f;
  static final float QUIET = 0.38f;

  private final PDDocument document;
  final PDFont plain = new PDType1Font(FontName.HELVETICA);
  final PDFont bold = new PDType1Font(FontName.HELVETICA_BOLD);
  private final List<PDPage> pages = new ArrayList<>();
  final boolean isClose;
  final float scale;
  private final float margin;
  final float text;
  final float leading;
  private PDPageContentStream out;
  private float y;

  /** The column that is written now. */
  private float left;

  private float width;

  /**
   * An empty sheet.
   *
   * @param isClose whether it is set closer, parts side by side
   * @param scale of letters and lines
   */
  PdfSheet(PDDocument document, boolean isClose, float scale) throws IOException {
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

  /** What is drawn on the page that is written now. */
  PDPageContentStream ink() {
    return out;
  }

  /** Where the next line begins, pt from the foot of the page. */
  float y() {
    return y;
  }

  /** Goes on further down, pt. */
  void down(float by) {
    y -= by;
  }

  /** Where the column begins, pt. */
  float left() {
    return left;
  }

  /** How wide the column is, pt. */
  float width() {
    return width;
  }

  /** Whether the column is wide enough to be parted. */
  boolean isWide() {
    return width > PAGE.getWidth() / 2f;
  }

  /** How many pages there are. */
  int count() {
    return pages.size();
  }

  /** Something that is written into a column. */
  interface Part {
    void write() throws IOException;
  }

  /** Two parts in two columns, and on below the longer one. */
  void sideBySide(Part one, Part other) throws IOException {
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
  void together(float height) throws IOException {
    if (height <= PAGE.getHeight() - 2 * margin - 16f) {
      need(height);
    }
  }

  /** Begins a new page where less than so much is left. */
  void need(float height) throws IOException {
    if (y - height < margin + 16f) {
      out.close();
      out = newPage();
    }
  }

  /** A paragraph over the column. */
  void paragraph(String words, PDFont font, float size, float indent) throws IOException {
    float high = size * 1.3f;
    for (String line : Lettering.wrapped(words, font, size, width - indent)) {
      need(high);
      show(line, font, size, left + indent, y - size, INK);
      y -= high;
    }
  }

  /** A fine line across the column. */
  void rule(float at) throws IOException {
    out.setStrokingColor(0.75f);
    out.setLineWidth(0.4f);
    out.moveTo(left, at);
    out.lineTo(left + width, at);
    out.stroke();
  }

  /** Ends it, and numbers its pages. */
  void end() throws IOException {
    out.close();
    for (int i = 0; i < pages.size(); i++) {
      out =
          new PDPageContentStream(
              document, pages.get(i), PDPageContentStream.AppendMode.APPEND, true, true);
      String words = "Opercle, page %d of %d".formatted(i + 1, pages.size());
      show(words, plain, 8f, margin, margin - 14f, QUIET);
      out.close();
    }
  }

  /** One line of words. */
  void show(String text, PDFont font, float size, float x, float at, float grey)
      throws IOException {
    out.setNonStrokingColor(grey);
    out.beginText();
    out.setFont(font, size);
    out.newLineAtOffset(x, at);
    out.showText(Lettering.written(text, font));
    out.endText();
  }
}
