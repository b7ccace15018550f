// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import java.io.IOException;
import java.text.Normalizer;
import java.util.ArrayList;
import java.util.List;
import org.apache.pdfbox.pdmodel.font.PDFont;

/**
 * Words as a face of the PDF has them: which letters it lacks, how wide they are, where a line
 * ends.
 */
final class Lettering {

  private Lettering() {}

  /** In lines of at most that width, pt. */
  static List<String> wrapped(String text, PDFont font, float size, float width)
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
  private static List<String> broken(String word, PDFont font, float size, float width)
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

  /** How wide it is, pt. */
  static float width(String text, PDFont font, float size) throws IOException {
    return font.getStringWidth(written(text, font)) / 1000f * size;
  }

  /** The text in letters that the face has. */
  static String written(String text, PDFont font) {
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
