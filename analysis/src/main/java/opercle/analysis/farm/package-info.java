/** The farm description: tanks, supplies, loads and floors, and its YAML reader. */
@NullMarked
package opercle.analysis.farm;

import org.jspecify.annotations.NullMarked;
