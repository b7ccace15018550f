/** The web pages, the live streams and the command line that starts everything. */
@NullMarked
package opercle.dashboard;

import org.jspecify.annotations.NullMarked;
