// SPDX-License-Identifier: Apache-2.0
/** A trip's report: what it says, its picture, and both as HTML, SVG and PDF. */
@NullMarked
package opercle.dashboard.trips;

import org.jspecify.annotations.NullMarked;
