// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import java.util.List;
import opercle.dashboard.trips.TripReport.Fact;
import opercle.dashboard.trips.TripReport.Section;

/** A report as HTML, to stand in the page frame; it needs no script. Stateless. */
public final class ReportHtml {

  private ReportHtml() {}

  /**
   * The report.
   *
   * @param picture its drawing, as one element
   */
  public static String of(TripReport report, String picture) {
    StringBuilder html = new StringBuilder(8 * 1024);
    html.append("<h1>").append(Markup.escaped(report.title())).append("</h1>\n");
    html.append("<p class=\"quiet\">").append(Markup.escaped(report.subtitle())).append("</p>\n");
    for (int i = 0; i < report.sections().size(); i++) {
      section(html, report.sections().get(i));
      if (i == 0) {
        html.append(
                "<figure class=\"picture wide\" tabindex=\"0\" role=\"group\""
                    + " aria-label=\"Picture of the trip\">\n")
            .append(picture)
            .append("</figure>\n");
      }
    }
    return html.toString();
  }

  private static void section(StringBuilder html, Section section) {
    html.append("<section>\n<h2>").append(Markup.escaped(section.heading())).append("</h2>\n");
    if (!section.facts().isEmpty()) {
      html.append("<dl class=\"told\">\n");
      for (Fact fact : section.facts()) {
        html.append("<div><dt>").append(Markup.escaped(fact.label())).append("</dt><dd>");
        html.append(Markup.escaped(fact.words())).append("</dd></div>\n");
      }
      html.append("</dl>\n");
    }
    if (!section.table().isEmpty()) {
      table(html, section);
    }
    if (!section.lines().isEmpty()) {
      html.append("<ul class=\"points\">\n");
      section
          .lines()
          .forEach(line -> html.append("<li>").append(Markup.escaped(line)).append("</li>\n"));
      html.append("</ul>\n");
    }
    html.append("</section>\n");
  }

  private static void table(StringBuilder html, Section section) {
    html.append("<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"")
        .append(Markup.escaped(section.heading()))
        .append("\">\n<table>\n<thead><tr>");
    for (String cell : section.table().get(0)) {
      html.append("<th scope=\"col\">").append(Markup.escaped(cell)).append("</th>");
    }
    html.append("</tr></thead>\n<tbody>\n");
    for (List<String> row : section.table().subList(1, section.table().size())) {
      html.append("<tr>");
      for (int column = 0; column < row.size(); column++) {
        html.append("<td data-of=\"").append(Markup.escaped(section.table().get(0).get(column)));
        html.append("\">").append(Markup.escaped(row.get(column))).append("</td>");
      }
      html.append("</tr>\n");
    }
    html.append("</tbody>\n</table>\n</div>\n");
  }
}
