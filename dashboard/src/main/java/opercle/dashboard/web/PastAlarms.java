// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.ZoneId;
import java.util.Optional;
import java.util.function.Supplier;
import opercle.analysis.book.AlarmRecords;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TankEventRecords;
import opercle.analysis.book.TripRecords;
import opercle.analysis.figures.Deliveries;

/**
 * What the pages about past alarms, and the marks on traces, read. Asked by several threads at
 * once; may wait for a disk.
 *
 * @param records of the farm's alarms; empty while there is no farm book
 * @param zone the farm's time zone, for its weeks and nights
 * @param deliveries how messages to people fared
 * @param events what people said that they did at the tanks; empty while there is no farm book
 * @param work what was written down at the tanks; empty while there is no farm book
 * @param trips the farm's trips; empty while there is no farm book
 * @param versions how the farm stood when; empty while there is no farm book
 */
public record PastAlarms(
    Supplier<Optional<AlarmRecords>> records,
    ZoneId zone,
    Deliveries.Source deliveries,
    Supplier<Optional<TankEventRecords>> events,
    Supplier<Optional<RecordBook>> work,
    Supplier<Optional<TripRecords>> trips,
    Supplier<Optional<FarmRecords>> versions) {

  /** Where no history is kept. */
  public static final PastAlarms NONE =
      new PastAlarms(Optional::empty, ZoneId.of("UTC"), Deliveries.Source.NONE);

  /** Without what was written down of tanks, trips and fish. */
  public PastAlarms(
      Supplier<Optional<AlarmRecords>> records,
      ZoneId zone,
      Deliveries.Source deliveries,
      Supplier<Optional<TankEventRecords>> events) {
    this(records, zone, deliveries, events, Optional::empty, Optional::empty, Optional::empty);
  }

  /** Without what people did at the tanks. */
  public PastAlarms(
      Supplier<Optional<AlarmRecords>> records, ZoneId zone, Deliveries.Source deliveries) {
    this(records, zone, deliveries, Optional::empty);
  }
}
