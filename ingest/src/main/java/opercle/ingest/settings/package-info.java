/**
 * Strict YAML: every problem in a file collected, with line, key, value and the nearest known key.
 */
@NullMarked
package opercle.ingest.settings;

import org.jspecify.annotations.NullMarked;
