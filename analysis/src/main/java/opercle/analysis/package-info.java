/** What the thinking packages share. */
@NullMarked
package opercle.analysis;

import org.jspecify.annotations.NullMarked;
