// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import java.util.Optional;
import opercle.analysis.Band;
import opercle.analysis.stock.Evidence;

/**
 * One thing that was looked at, and what it says for or against going.
 *
 * @param topic what was looked at
 * @param verdict what it alone would advise
 * @param value what was found; an end may be infinite; empty where it could not be looked at
 * @param limit what it was held against, in the same unit
 * @param unit of both
 * @param evidence where the limit comes from
 * @param sentence for a person, with the numbers
 */
public record Reason(
    Topic topic,
    Verdict verdict,
    Optional<Band> value,
    double limit,
    String unit,
    Evidence evidence,
    String sentence) {}
