// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import java.util.List;
import java.util.Locale;
import opercle.dashboard.trips.TripDrawing.Mark;

/** A drawing as SVG, whose looks are the page's: each mark has its kind as a class. Stateless. */
public final class DrawingSvg {

  private DrawingSvg() {}

  /**
   * The drawing as one {@code svg} element.
   *
   * @param label what somebody who does not see it is told
   */
  public static String of(TripDrawing drawing, String label) {
    StringBuilder svg = new StringBuilder(16 * 1024);
    svg.append(
        String.format(
            Locale.ROOT,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"trip-picture\" viewBox=\"0 0 %.0f"
                + " %.0f\" role=\"img\" aria-label=\"%s\">\n",
            TripDrawing.WIDTH,
            TripDrawing.HEIGHT,
            Markup.escaped(label)));
    for (Mark mark : drawing.marks()) {
      String kind = mark.kind().name().toLowerCase(Locale.ROOT);
      if (mark instanceof Mark.Line line) {
        svg.append("<path class=\"").append(kind).append("\" d=\"").append(path(line.points()));
        svg.append("\"/>\n");
      } else if (mark instanceof Mark.Box box) {
        svg.append(
            String.format(
                Locale.ROOT,
                "<rect class=\"%s\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\"/>\n",
                kind,
                box.x(),
                box.y(),
                box.width(),
                box.height()));
      } else if (mark instanceof Mark.Words words) {
        svg.append(
            String.format(
                Locale.ROOT,
                "<text class=\"%s\" x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\">%s</text>\n",
                kind,
                words.x(),
                words.y(),
                words.anchor() == 0 ? "start" : words.anchor() == 1 ? "end" : "middle",
                Markup.escaped(words.text())));
      }
    }
    return svg.append("</svg>\n").toString();
  }

  private static String path(List<Double> points) {
    StringBuilder path = new StringBuilder();
    for (int i = 0; i + 1 < points.size(); i += 2) {
      path.append(i == 0 ? 'M' : 'L')
          .append(String.format(Locale.ROOT, "%.1f %.1f", points.get(i), points.get(i + 1)));
    }
    return path.toString();
  }
}
