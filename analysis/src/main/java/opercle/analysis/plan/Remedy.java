// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import java.util.Locale;

/**
 * One change that alone betters the verdict.
 *
 * @param kind what to change
 * @param value to what
 * @param unit of the value; empty where it has none
 * @param verdict what the plan then says
 * @param sentence for a person
 */
public record Remedy(Kind kind, double value, String unit, Verdict verdict, String sentence) {

  /** What can be changed. */
  public enum Kind {
    LESS_FISH,
    MORE_WATER,
    COOLER,
    ANOTHER_CYLINDER,
    FINER_DIFFUSER,
    OTHER_FLOW;

    /** The word that programs read, for instance {@code less-fish}. */
    public String id() {
      return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }
  }
}
