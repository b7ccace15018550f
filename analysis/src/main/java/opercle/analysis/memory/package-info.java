/**
 * What the watch keeps on disk, so that neither a restart nor a killed process costs it what it has
 * learned or the alarms that stand.
 */
@NullMarked
package opercle.analysis.memory;

import org.jspecify.annotations.NullMarked;
