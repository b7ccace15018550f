// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.time.Instant;
import java.util.List;
import opercle.analysis.farm.Farm;

/**
 * The farm as it was described from some moment on.
 *
 * @param number counts the versions of a book, from 1
 * @param farm the farm
 * @param time since when
 * @param by who changed it, or the name of the file in which a hand did
 * @param what is different from the version before, a sentence each
 */
public record FarmVersion(long number, Farm farm, Instant time, String by, List<String> what) {
  public FarmVersion {
    what = List.copyOf(what);
  }
}
