/**
 * Simulated tanks, fish and probes with their own physics, which is deliberately not the analysis'
 * model.
 */
@NullMarked
package opercle.simulator;

import org.jspecify.annotations.NullMarked;
