/** Alarms: causes, priorities, states and the book that keeps them. Pure. */
@NullMarked
package opercle.analysis.alarm;

import org.jspecify.annotations.NullMarked;
