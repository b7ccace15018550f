// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.settings;

import java.util.Collection;
import java.util.Comparator;
import java.util.Locale;
import java.util.Optional;

/** Finds what somebody probably meant to write. */
public final class Nearest {

  private Nearest() {}

  /**
   * The candidate that is fewest slips away from a word (a slip: one letter wrong, missing, too
   * many, or two swapped), if that is close enough to be a likely slip: at most a third of the
   * word, and at least one.
   */
  public static Optional<String> to(String word, Collection<String> candidates) {
    String given = word.toLowerCase(Locale.ROOT);
    int limit = Math.max(1, given.length() / 3);
    return candidates.stream()
        .filter(c -> slips(given, c.toLowerCase(Locale.ROOT)) <= limit)
        .min(
            Comparator.<String>comparingInt(c -> slips(given, c.toLowerCase(Locale.ROOT)))
                .thenComparing(Comparator.naturalOrder()));
  }

  // Optimal string alignment distance: Levenshtein's with swaps of neighbours.
  private static int slips(String a, String b) {
    int[][] d = new int[a.length() + 1][b.length() + 1];
    for (int i = 0; i <= a.length(); i++) {
      d[i][0] = i;
    }
    for (int j = 0; j <= b.length(); j++) {
      d[0][j] = j;
    }
    for (int i = 1; i <= a.length(); i++) {
      for (int j = 1; j <= b.length(); j++) {
        int differs = a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1;
        int best = Math.min(d[i - 1][j] + 1, Math.min(d[i][j - 1] + 1, d[i - 1][j - 1] + differs));
        boolean swapped =
            i > 1
                && j > 1
                && a.charAt(i - 1) == b.charAt(j - 2)
                && a.charAt(i - 2) == b.charAt(j - 1);
        d[i][j] = swapped ? Math.min(best, d[i - 2][j - 2] + 1) : best;
      }
    }
    return d[a.length()][b.length()];
  }
}
