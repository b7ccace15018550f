// SPDX-License-Identifier: Apache-2.0
/**
 * The farm book: what a farm keeps for good, in one database. Now: its alarms, and what people said
 * of them.
 */
@NullMarked
package opercle.analysis.book;

import org.jspecify.annotations.NullMarked;
