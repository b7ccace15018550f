// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Readings in an InfluxDB, behind a spool on this machine's disk. A batch is durable when it is in
 * the spool, which is a SQLite store; from there it goes to InfluxDB, now or when that is back. The
 * spool keeps the latest hours whatever happens, so that those are read without InfluxDB.
 *
 * <p>What each minute amounts to is written to InfluxDB by us: no InfluxQL that 1.x, 2.x and 3 all
 * have would keep it there, and one that counts at each question could not outlive the readings. A
 * reading that comes late writes its minute anew; where the spool has let that go, it takes up once
 * what it had sent of it, and then knows it all again.
 *
 * <p>Several may take the readings of a farm between them, each with a spool of its own: then each
 * writes its part of a minute, and whoever asks adds the parts up. A broker that gives what one had
 * not acknowledged to another makes such a reading count twice in its minute's mean, never twice
 * among the readings.
 *
 * <p>The first value of a series at a time stays, as long as the spool remembers it; one that comes
 * after that replaces it.
 */
public final class SpooledReadings implements IntakeStore {

  private static final Logger LOG = LoggerFactory.getLogger(SpooledReadings.class);

  /**
   * The spool.
   *
   * @param file a SQLite file, made if it is not there
   * @param keep for how long readings stay in it that InfluxDB has as well
   * @param mostBytes how large it may grow
   */
  public record Spool(Path file, Duration keep, long mostBytes) {}

  /**
   * How the way to InfluxDB is.
   *
   * @param away why nothing goes there at present, in words; empty if all is well
   * @param since since when
   * @param waitingSince the oldest minute that is not there yet; empty if all is
   * @param givenUp what was given up so that the disk does not fill, or because it was refused
   */
  public record State(
      Optional<String> away,
      Optional<Instant> since,
      Optional<Instant> waitingSince,
      List<GivenUp> givenUp) {}

  private final SqliteReadings local;
  private final SpoolFirst reading;
  private final SqliteSpool spool;
  private final SpoolRoom room;
  private final InfluxSettings settings;
  private final InfluxWriter writer;
  private final Forwarder forwarder;
  private final Retention retention;
  private final String identity;
  private volatile Set<Series> remoteSeries = Set.of();
  private volatile boolean isRemoteAsked;

  /** Not the one that pages ask: a time-out of theirs says nothing of what is asked to send. */
  private final InfluxReadings sent;

  /** By the forwarder's thread only. */
  private final WholeMinutes wholeMinutes = new WholeMinutes(this::whole);

  private SpooledReadings(
      InfluxSettings settings,
      Spool spoolSettings,
      boolean isShared,
      SqliteReadings local,
      InstantSource clock) {
    this.settings = settings;
    // The file's own, whatever its owner is called: a lost spool's parts stand as they are, and one
    // whose settings change goes on with its own.
    this.identity = local.identity();
    this.local = local;
    this.sent = InfluxReadings.forSending(settings);
    this.reading = new SpoolFirst(local, new InfluxReadings(settings), isShared);
    this.writer = new InfluxWriter(settings);
    this.spool = new SqliteSpool(local);
    this.room = new SpoolRoom(local, spoolSettings.mostBytes());
    this.retention =
        Retention.start(
            local,
            List.of(
                new Retention.Rule(
                    "readings that InfluxDB has", spoolSettings.keep(), local::deleteSomeSent)),
            clock);
    this.forwarder = Forwarder.start(spool, this::write, clock);
  }

  /**
   * Opens it for writing and reading; InfluxDB need not be there.
   *
   * @param clock what the spool's readings are old by
   * @throws StoreException if the spool cannot be used, or the certificates cannot be read
   */
  public static SpooledReadings open(InfluxSettings settings, Spool spool, InstantSource clock) {
    return open(settings, spool, false, clock);
  }

  /**
   * The same for one of several that take the readings between them.
   *
   * @param isShared whether it is one of several; if not, it takes all
   */
  public static SpooledReadings open(
      InfluxSettings settings, Spool spool, boolean isShared, InstantSource clock) {
    SqliteReadings local =
        isShared
            ? SqliteReadings.openSharedSpool(spool.file())
            : SqliteReadings.openSpool(spool.file());
    try {
      return new SpooledReadings(settings, spool, isShared, local, clock);
    } catch (RuntimeException e) {
      local.close();
      throw e;
    }
  }

  /**
   * What another process writes, for reading: out of its spool too, where that is on this machine.
   *
   * @param spoolFile where it would be
   * @param isShared whether several write, each with a spool
   */
  public static ReadingStore openReadOnly(
      InfluxSettings settings, Path spoolFile, boolean isShared) {
    return new SpoolIfThere(spoolFile, new InfluxReadings(settings), isShared);
  }

  @Override
  public void accept(List<Reading> batch) {
    local.accept(batch);
    try {
      room.make();
    } catch (StoreException e) {
      LOG.warn("the spool could not make room: {}", e.getMessage()); // the batch is kept
    }
  }

  @Override
  public ReadingStore onThisMachine() {
    return local;
  }

  @Override
  public ArrivalLog arrivals(int window) {
    return local.arrivals(window);
  }

  /** How the way to InfluxDB is. */
  public State state() {
    Optional<Forwarder.Away> away = forwarder.away();
    return new State(
        away.map(Forwarder.Away::why),
        away.map(Forwarder.Away::since),
        spool.waitingSince(),
        room.givenUp());
  }

  /** On the forwarder's thread. */
  private void write(List<Unsent> waiting) throws InfluxTrouble {
    List<Unsent> items = wholeMinutes.of(waiting); // before any of it is there
    writer.write(
        settings.readings(),
        items.stream().flatMap(i -> i.readings().stream()).map(InfluxLayout::line).toList());
    List<String> minutes = new ArrayList<>();
    for (Unsent item : items) {
      if (item.isWhole()) { // else, written as it is here, it would hide what is there
        Optional<String> part = part(item);
        item.summary().ifPresent(s -> minutes.add(InfluxLayout.line(item.series(), s, part)));
      }
    }
    writer.write(settings.minutes(), minutes);
    if (!isRemoteAsked) {
      learnSeries();
    }
  }

  /** What it had before us; what it has since is here as well. */
  private void learnSeries() {
    try {
      remoteSeries = Set.copyOf(sent.series());
    } catch (StoreException e) {
      LOG.warn("what InfluxDB had of other series before is not shown: {}", e.getMessage());
    }
    isRemoteAsked = true;
  }

  private Optional<String> part(Unsent item) {
    return item.isPart() ? Optional.of(identity) : Optional.empty();
  }

  /** The same with all that was sent of its minute before. */
  private Unsent whole(Unsent item) {
    Instant end = item.start().plusMillis(SqliteRollUps.MINUTE_MS);
    Set<Instant> times =
        sent.range(item.series(), item.start(), end).stream()
            .map(Reading::time)
            .collect(Collectors.toSet());
    return spool.made(item, sent.writtenBefore(item.series(), item.start(), part(item)), times);
  }

  @Override
  public List<Reading> range(Series series, Instant from, Instant to) {
    return reading.range(series, from, to);
  }

  /**
   * While InfluxDB is away only what is on this machine is drawn; {@link #state} says so as soon as
   * there is something to send. What it refuses is no reason to hide a past that is there.
   */
  @Override
  public List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
    try {
      return reading.buckets(series, from, to, count);
    } catch (StoreException e) {
      if (e instanceof ReadRefusedException && forwarder.away().isEmpty()) {
        throw e;
      }
      return local.buckets(series, from, to, count);
    }
  }

  @Override
  public Optional<Reading> newest(Series series) {
    return reading.newest(series);
  }

  /** Those of this machine, and those that InfluxDB had when we first met it. */
  @Override
  public List<Series> series() {
    return SpoolFirst.together(local.series(), remoteSeries);
  }

  /** Ends sending; what is not sent is in the spool for the next time. */
  @Override
  public void close() {
    forwarder.close();
    retention.close();
    writer.close();
    reading.close();
  }
}
