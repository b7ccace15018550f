/** Recorded traces: the CSV reader and the replay of a trace through the watch. */
@NullMarked
package opercle.analysis.trace;

import org.jspecify.annotations.NullMarked;
