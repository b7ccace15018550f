/**
 * The watch over a tank: from readings to tank state and findings, in event time. Pure: no I/O, no
 * clock, no thread.
 */
@NullMarked
package opercle.analysis.watch;

import org.jspecify.annotations.NullMarked;
