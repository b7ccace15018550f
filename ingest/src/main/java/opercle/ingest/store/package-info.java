/** The readings store. Values in canonical units; times as instants, kept to the millisecond. */
@NullMarked
package opercle.ingest.store;

import org.jspecify.annotations.NullMarked;
