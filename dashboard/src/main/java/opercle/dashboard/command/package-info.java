/**
 * The command line: reads options and configuration, wires the parts together, starts and stops
 * them. Holds no thinking of its own.
 */
@NullMarked
package opercle.dashboard.command;

import org.jspecify.annotations.NullMarked;
