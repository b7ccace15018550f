/**
 * What a probe said: one value of one quantity at one instant, in the canonical unit of that
 * quantity.
 *
 * <p>Plain values without I/O, clock or thread; safe to share between threads.
 */
@NullMarked
package opercle.ingest.reading;

import org.jspecify.annotations.NullMarked;
