// SPDX-License-Identifier: Apache-2.0
/**
 * Trips and nights, what was seen on them, and the review afterwards. Pure: readings, alarms and
 * entries come in, figures and sentences go out.
 */
@NullMarked
package opercle.analysis.trip;

import org.jspecify.annotations.NullMarked;
