// SPDX-License-Identifier: Apache-2.0
/** How good the alarms are, from their history: figures of a week beside what is expected. Pure. */
@NullMarked
package opercle.analysis.figures;

import org.jspecify.annotations.NullMarked;
