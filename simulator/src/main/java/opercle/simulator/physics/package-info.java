/**
 * The simulator's own physics: water in zones, fish, gas line, cylinder, blower, weather. mg/L, L,
 * kg, °C, L/min of gas at 15 °C and 101.325 kPa, bar gauge, kPa absolute; steps in seconds.
 *
 * <p>Written from published facts without sight of the watch, and on purpose not what the analysis
 * assumes: the water is not well mixed, demand comes from other sources and wanders, the gas line
 * is solved from pressures. Pure: no I/O, no clock, no thread; the same seed gives the same run.
 * Everything here is mutable and belongs to one thread.
 */
@NullMarked
package opercle.simulator.physics;

import org.jspecify.annotations.NullMarked;
