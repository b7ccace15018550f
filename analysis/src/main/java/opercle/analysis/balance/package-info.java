/**
 * The oxygen balance of a tank: what comes in, what the fish take, how long it lasts. mg/L,
 * minutes. Pure.
 */
@NullMarked
package opercle.analysis.balance;

import org.jspecify.annotations.NullMarked;
