// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

/** Text into markup: what a person wrote is never taken for a tag. */
final class Markup {

  private Markup() {}

  /** For an element's text or an attribute in double quotes. */
  static String escaped(String text) {
    StringBuilder out = new StringBuilder(text.length() + 16);
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      switch (c) {
        case '&' -> out.append("&amp;");
        case '<' -> out.append("&lt;");
        case '>' -> out.append("&gt;");
        case '"' -> out.append("&quot;");
        case '\'' -> out.append("&#39;");
        default -> out.append(c);
      }
    }
    return out.toString();
  }
}
