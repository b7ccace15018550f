/**
 * The watch over a tank: from readings to tank state and findings, in event time. Pure: no I/O, no
 * clock, no thread. Oxygen in mg/L; times inside in microseconds since 1970 and seconds.
 *
 * <p>The way of a reading: {@code FarmWatch} finds the tank's {@code TankWatch}; the probe's {@code
 * Rhythm} says whether it is news; a {@code GasMeter} or an {@code OxygenProbe} takes it. An oxygen
 * probe asks {@code ProbeHealth} whether the reading makes sense and its {@code FallDetector}
 * whether oxygen has begun to fall; the detector compares what {@code QuietWater} foretold with
 * what came, knows from {@code Wander} how far off is ordinary, and weighs the rest over {@code
 * Onsets}. A {@code Fall} that was found is followed to its end. {@code Diagnosis} gives odds for
 * what is behind it, {@code Outlook} the time in hand, {@code Urgency} the priority, and {@code
 * Findings} the words.
 */
@NullMarked
package opercle.analysis.watch;

import org.jspecify.annotations.NullMarked;
