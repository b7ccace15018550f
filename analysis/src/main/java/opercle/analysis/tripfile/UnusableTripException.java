// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.tripfile;

import java.util.List;

/** What was sent is no trip, or no entry of one; the message names the first field and why. */
public final class UnusableTripException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  private final transient List<Fault> faults;

  UnusableTripException(String what, List<Fault> faults) {
    super(what + faults.get(0).sentence() + more(faults.size() - 1));
    this.faults = List.copyOf(faults);
  }

  UnusableTripException(String message) {
    super(message);
    this.faults = List.of();
  }

  private static String more(int others) {
    return others == 0 ? "" : " And %d more.".formatted(others);
  }

  /** Each field that is wrong; empty where it is none in particular. */
  public List<Fault> faults() {
    return faults;
  }
}
