/**
 * Simulated instruments: what a probe makes of the truth (lag, noise, drift, faults) and what the
 * link makes of the probe (drop-outs, bursts, duplicates, wrong clocks). Pure, one thread.
 */
@NullMarked
package opercle.simulator.probe;

import org.jspecify.annotations.NullMarked;
