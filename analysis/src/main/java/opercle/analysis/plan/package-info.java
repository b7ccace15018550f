/**
 * The load plan: whether a load may travel, what gas to set, how long it lasts. L, kg, °C, minutes,
 * L/min at 15 °C and 101.325 kPa. Pure.
 */
@NullMarked
package opercle.analysis.plan;

import org.jspecify.annotations.NullMarked;
