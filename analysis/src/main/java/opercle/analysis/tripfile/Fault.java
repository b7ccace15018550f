// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.tripfile;

/**
 * A field that cannot be used.
 *
 * @param pointer where it stands, a JSON Pointer (RFC 6901)
 * @param value what is there, as it is written, shortened
 * @param limit what it may be
 * @param unit of the limit; empty where it has none
 */
public record Fault(String pointer, String value, String limit, String unit) {

  /** One sentence with all of it. */
  public String sentence() {
    return "%s is %s, must be %s%s."
        .formatted(pointer, value, limit, unit.isEmpty() ? "" : " " + unit);
  }
}
