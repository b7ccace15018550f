// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

/** What tanks and probes may be called, and how a stranger's text is shown in a message. */
final class Names {

  static final String RULE =
      "1 to 64 letters a-z or A-Z, digits, dots, hyphens and underscores, starting with a letter"
          + " or digit";

  private static final int LONGEST_NAME = 64;
  private static final int LONGEST_SHOWN = 60;

  private Names() {}

  /** Whether a name keeps {@link #RULE}. */
  static boolean isSane(String name) {
    if (name.isEmpty() || name.length() > LONGEST_NAME || !isLetterOrDigit(name.charAt(0))) {
      return false;
    }
    for (int i = 1; i < name.length(); i++) {
      char c = name.charAt(i);
      if (!isLetterOrDigit(c) && c != '.' && c != '-' && c != '_') {
        return false;
      }
    }
    return true;
  }

  private static boolean isLetterOrDigit(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
  }

  /** A text from outside, cut short and without control characters, fit for a log or a screen. */
  static String shown(String text) {
    return shown(text, LONGEST_SHOWN);
  }

  /** As {@link #shown(String)}, cut at a length of the caller's choice. */
  static String shown(String text, int longest) {
    StringBuilder shown = new StringBuilder(Math.min(text.length(), longest) + 1);
    for (int i = 0; i < text.length() && i < longest; i++) {
      char c = text.charAt(i);
      boolean plain =
          !Character.isISOControl(c) && !Character.isSurrogate(c) && !isBidirectional(c);
      shown.append(plain ? c : '\uFFFD');
    }
    return text.length() > longest ? shown.append('…').toString() : shown.toString();
  }

  /** Marks that turn the direction of the text about them, and could make a line read falsely. */
  private static boolean isBidirectional(char c) {
    return (c >= '\u200E' && c <= '\u200F')
        || (c >= '\u2028' && c <= '\u202E')
        || (c >= '\u2066' && c <= '\u2069');
  }
}
