// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

import java.text.Normalizer;
import java.util.Locale;

/** Names of users and tokens. */
final class Names {

  private static final int LONGEST = 60;

  private Names() {}

  /**
   * The name as it is kept.
   *
   * @throws RefusedAccessException if it cannot be one
   */
  static String checked(String name) {
    String kept = Normalizer.normalize(name.strip(), Normalizer.Form.NFC);
    if (kept.isEmpty() || kept.length() > LONGEST) {
      throw new RefusedAccessException("A name must have 1–%d letters.".formatted(LONGEST));
    }
    if (kept.codePoints().anyMatch(c -> Character.isISOControl(c) || isUnseen(c))) {
      throw new RefusedAccessException("A name must be on one line, of letters that can be seen.");
    }
    return kept;
  }

  /** The same for every way of writing it. */
  static String key(String name) {
    return Normalizer.normalize(name.strip(), Normalizer.Form.NFC).toLowerCase(Locale.ROOT);
  }

  private static boolean isUnseen(int codePoint) {
    int type = Character.getType(codePoint);
    return type == Character.FORMAT
        || type == Character.LINE_SEPARATOR
        || type == Character.PARAGRAPH_SEPARATOR
        || type == Character.SURROGATE
        || type == Character.UNASSIGNED;
  }
}
