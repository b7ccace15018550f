// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import static org.awaitility.Awaitility.await;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import java.util.Optional;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;

/** Writes as Opercle does, waits until InfluxDB has it, and reads from there and nowhere else. */
final class ThroughSpool implements ReadingStore {

  private final SpooledReadings spooled;
  private final InfluxReadings influx;

  private ThroughSpool(SpooledReadings spooled, InfluxReadings influx) {
    this.spooled = spooled;
    this.influx = influx;
  }

  static ThroughSpool open(InfluxSettings settings, Path file) {
    return new ThroughSpool(
        SpooledReadings.open(
            settings,
            new SpooledReadings.Spool(file, Duration.ofDays(2), 1L << 30),
            InstantSource.system()),
        new InfluxReadings(settings));
  }

  @Override
  public void accept(List<Reading> batch) {
    spooled.accept(batch);
    await()
        .atMost(Duration.ofSeconds(30))
        .pollInterval(Duration.ofMillis(20))
        .until(() -> spooled.state().waitingSince().isEmpty());
  }

  @Override
  public List<Reading> range(Series series, Instant from, Instant to) {
    return influx.range(series, from, to);
  }

  @Override
  public List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
    return influx.buckets(series, from, to, count);
  }

  @Override
  public Optional<Reading> newest(Series series) {
    return influx.newest(series);
  }

  @Override
  public List<Series> series() {
    return influx.series();
  }

  @Override
  public void close() {
    spooled.close();
  }
}
