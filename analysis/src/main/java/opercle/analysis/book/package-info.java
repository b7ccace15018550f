// SPDX-License-Identifier: Apache-2.0
/**
 * The farm book: what a farm keeps for good, in one database, a SQLite file or on a PostgreSQL
 * server: its alarms and what people said of them, what was done at its tanks, its trips, its
 * records, its versions, and which topic feeds which tank.
 */
@NullMarked
package opercle.analysis.book;

import org.jspecify.annotations.NullMarked;
