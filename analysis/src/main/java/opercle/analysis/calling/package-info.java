// SPDX-License-Identifier: Apache-2.0
/** Who is told what, when. Pure: alarm events, results and passing time in, calls out. */
@NullMarked
package opercle.analysis.calling;

import org.jspecify.annotations.NullMarked;
