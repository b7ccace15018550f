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

  /** One line: {@code farm.yaml:12: tanks[2].supply.gas: …}. */
  @Override
  public String toString() {
    return source
        + (line > 0 ? ":" + line : "")
        + ": "
        + (key.isEmpty() ? "" : key + ": ")
        + message;
  }
}
