/**
 * Simulated tanks, fish and probes with their own physics, which is deliberately not the analysis'
 * model.
 *
 * <p>{@link opercle.simulator.SimulatedFarm} lives through a {@link opercle.simulator.Scenario} and
 * gives readings; {@link opercle.simulator.ProbePublisher} sends them to a broker, {@link
 * opercle.simulator.TraceWriter} to a file. {@link opercle.simulator.SimulatedNight} draws a
 * tank-night with its {@link opercle.simulator.Truth}, to judge a watch from outside. Everything
 * but the publisher and the trace writer is pure: no I/O, no clock, no thread. Time is simulated;
 * units are those of the readings.
 */
@NullMarked
package opercle.simulator;

import org.jspecify.annotations.NullMarked;
