// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.settings;

/**
 * One thing wrong in a file that a person wrote.
 *
 * @param source the file's name, as the person gave it
 * @param line counted from 1; 0 where the problem belongs to no line
 * @param key the path of keys, for instance {@code tanks[2].supply.gas}; empty where there is none
 * @param message what is wrong, with value, limit and unit
 */
public record Problem(String source, int line, String key, String message) {

  private static final int LONGEST_SHOWN = 500;

  /**
   * One line: {@code farm.yaml:12: tanks[2].supply.gas: …}. Whatever the file holds: control
   * characters are shown as the replacement character, and what is very long is cut.
   */
  @Override
  public String toString() {
    String text =
        source + (line > 0 ? ":" + line : "") + ": " + (key.isEmpty() ? "" : key + ": ") + message;
    String shown = text.length() > LONGEST_SHOWN ? text.substring(0, LONGEST_SHOWN) + "…" : text;
    return shown.replaceAll("\\p{Cntrl}", "\uFFFD");
  }
}
