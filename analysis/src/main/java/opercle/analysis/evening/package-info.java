// SPDX-License-Identifier: Apache-2.0
/** The evening check: whether the keeper can go to bed. Pure. */
@NullMarked
package opercle.analysis.evening;

import org.jspecify.annotations.NullMarked;
