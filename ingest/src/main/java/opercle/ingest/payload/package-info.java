/**
 * From the bytes of a message to readings in canonical units, or to worded rejections. Pure: no
 * I/O, the time of arrival is an argument.
 */
@NullMarked
package opercle.ingest.payload;

import org.jspecify.annotations.NullMarked;
