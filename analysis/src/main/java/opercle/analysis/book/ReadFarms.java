// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.util.LinkedHashMap;
import java.util.Map;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.ingest.settings.UnusableInputException;

/**
 * Farms as the book holds them, each read once while it is asked for: a look at a month of a tank
 * asks for every version since. By what they say, so that none is ever out of date. For any thread.
 */
final class ReadFarms {

  /** Bounds the memory that they take (ours). */
  private static final int MOST = 200;

  private final Map<String, Farm> byYaml =
      new LinkedHashMap<>(16, 0.75f, true) {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<String, Farm> eldest) {
          return size() > MOST;
        }
      };

  /**
   * The farm that a text describes.
   *
   * @param what to call the text
   * @throws BookException if it describes none
   */
  Farm farm(String what, String yaml) {
    synchronized (byYaml) {
      Farm known = byYaml.get(yaml);
      if (known != null) {
        return known;
      }
    }
    Farm read = read(what, yaml);
    synchronized (byYaml) {
      byYaml.put(yaml, read);
    }
    return read;
  }

  private static Farm read(String what, String yaml) {
    try {
      return FarmReader.inForce(what, yaml);
    } catch (UnusableInputException e) {
      throw new BookException(
          "the farm book holds a farm that cannot be read: " + e.getMessage(), e);
    }
  }
}
