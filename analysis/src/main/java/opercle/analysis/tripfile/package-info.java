// SPDX-License-Identifier: Apache-2.0
/** Trips as JSON and CSV: for a file, for the farm book, and for whoever writes an entry. */
@NullMarked
package opercle.analysis.tripfile;

import org.jspecify.annotations.NullMarked;
