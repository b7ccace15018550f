// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.function.Supplier;
import java.util.stream.Stream;
import opercle.analysis.book.BookException;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.trip.PastDemand;
import opercle.analysis.trip.Review;
import opercle.analysis.trip.TripLog;
import opercle.analysis.trip.TripTrace;
import opercle.analysis.tripfile.TripFile;
import opercle.dashboard.trips.TripReport;
import opercle.ingest.reading.Reading;
import opercle.ingest.store.StoreException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * A farm's trips with all that belongs to them: entries, alarms and events from the farm book,
 * readings from there and from the readings store. Reviews of finished trips are kept in memory;
 * the first one that is made, ten minutes after the end at the earliest, lays readings, alarms and
 * what they teach down in the book, so that they outlive the store. Reads the disk; for any thread.
 */
final class TripDesk {

  private static final Logger LOG = LoggerFactory.getLogger(TripDesk.class);

  private static final Duration SETTLED_AFTER = Duration.ofMinutes(10);

  /** Clocks of phones and servers (ours). */
  private static final Duration CLOCKS_DIFFER = Duration.ofMinutes(15);

  private static final int MOST_REVIEWS = 60;
  private static final int PAGE = 100;

  private final LiveFarm live;
  private final PastAlarms past;
  private final Supplier<Optional<TripRecords>> trips;
  private final Supplier<Optional<RecordBook>> work;
  private final TripTraces measured;

  /** By trip and how much there is of it; guarded by itself. */
  private final Map<String, Review> reviews =
      new LinkedHashMap<>(16, 0.75f, true) {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<String, Review> eldest) {
          return size() > MOST_REVIEWS;
        }
      };

  /** Trips that are laid down, by id, with how much was written of each; guarded by itself. */
  private final Map<String, Integer> laidDown = new HashMap<>();

  /** The last one that the walk through the earlier trips has done; guarded as above. */
  private Optional<TripLog> walkedTo = Optional.empty();

  private boolean walkedToTheFirst;

  /**
   * @param work what was written down at the tanks
   */
  TripDesk(
      LiveFarm live,
      Traces traces,
      PastAlarms past,
      Supplier<Optional<TripRecords>> trips,
      Supplier<Optional<RecordBook>> work) {
    this.live = live;
    this.past = past;
    this.trips = trips;
    this.work = work;
    this.measured = new TripTraces(live, traces, past, work);
  }

  ZoneId zone() {
    return past.zone();
  }

  Instant now() {
    return live.now();
  }

  TripRecords records() {
    return trips.get().orElseThrow(Problem::noFarmBook);
  }

  /** What past trips taught; nothing where there is no farm book yet. */
  List<PastDemand> demands() {
    return trips.get().map(TripRecords::demands).orElse(List.of());
  }

  /** The records, to be written to. */
  TripRecords writable() {
    TripRecords records = records();
    if (!records.takesEntries()) {
      throw Problem.readOnly();
    }
    return records;
  }

  /**
   * Refuses what is still to come: a day or a year that was mistyped.
   *
   * @throws Problem saying what time it is
   */
  void requirePast(Instant time) {
    if (time.isAfter(now().plus(CLOCKS_DIFFER))) {
      DateTimeFormatter clock =
          DateTimeFormatter.ofPattern("d MMM uuuu, HH:mm", Locale.ENGLISH).withZone(zone());
      throw Problem.conflict(
          "%s is still to come: it is %s. Look at the day and the year."
              .formatted(clock.format(time), clock.format(now())));
    }
  }

  /** What was measured, alarmed and noted on a trip, as far as it has come. */
  TripTrace trace(TripLog log) {
    return measured.of(records(), log);
  }

  /** The readings of a trip in order of time, for a file. */
  List<Reading> readings(TripLog log) {
    return measured.readings(records(), log);
  }

  /** The papers that trips of the farm go under. */
  TripPapers papers() {
    return new TripPapers(work, live.farm().tanks(), zone(), now());
  }

  /** A trip; empty where there is none, or no farm book. */
  Optional<TripLog> find(String id) {
    return trips.get().flatMap(records -> records.trip(id));
  }

  static Problem noTrip() {
    return Problem.notFound("This farm has no such trip.");
  }

  TripLog trip(String id) {
    return records().trip(id).orElseThrow(TripDesk::noTrip);
  }

  /**
   * Lays down trips that have ended and that nobody has looked at: plans must not have to wait for
   * that, nor may the readings be gone by then. The newest hundred first; when they are done, those
   * before them, a page at a time, so that every trip that the book has teaches.
   *
   * @param most at most so many at once
   */
  void layDown(int most) {
    Optional<TripRecords> records = trips.get().filter(TripRecords::takesEntries);
    if (records.isEmpty()) {
      return;
    }
    List<TripLog> newest = records.get().newest(now().plusSeconds(60), PAGE);
    List<TripLog> open = notLaidDown(newest);
    if (open.isEmpty() && newest.size() == PAGE) {
      open = earlier(records.get(), newest);
    }
    open.stream().limit(most).forEach(this::layDown);
  }

  /** Those of the page before the ones that are done; none when the walk has come to the first. */
  private List<TripLog> earlier(TripRecords records, List<TripLog> newest) {
    synchronized (laidDown) {
      if (walkedToTheFirst) {
        return List.of();
      }
      List<TripLog> page = records.earlierThan(walkedTo.orElse(oldest(newest)), PAGE);
      List<TripLog> open = notLaidDown(page);
      if (page.isEmpty()) {
        walkedToTheFirst = true;
      } else if (open.isEmpty()) {
        walkedTo = Optional.of(oldest(page));
      }
      return open;
    }
  }

  private static TripLog oldest(List<TripLog> page) {
    return page.get(page.size() - 1);
  }

  private List<TripLog> notLaidDown(List<TripLog> page) {
    return page.stream().filter(this::isSettled).filter(log -> !isLaidDown(log)).toList();
  }

  private void layDown(TripLog log) {
    try {
      var unused = review(log);
    } catch (BookException | StoreException e) {
      throw e; // the next ones fare no better, and this one is looked at again
    } catch (RuntimeException e) {
      LOG.warn("trip {} could not be reviewed, so nothing is learned from it", log.trip().id(), e);
    }
    synchronized (laidDown) {
      laidDown.put(log.trip().id(), log.entries().size());
    }
  }

  private boolean isLaidDown(TripLog log) {
    synchronized (laidDown) {
      return Integer.valueOf(log.entries().size()).equals(laidDown.get(log.trip().id()));
    }
  }

  private boolean isSettled(TripLog log) {
    return !log.isUnderWay() && live.now().isAfter(log.to(live.now()).plus(SETTLED_AFTER));
  }

  /** The review of a trip as it now is. */
  Review review(TripLog log) {
    // Readings are only ever added, so their number tells that some came late.
    TripTrace trace = trace(log);
    String key =
        "%s %d %d %d %d %d"
            .formatted(
                log.trip().id(),
                log.entries().size(),
                trace.readings().size(),
                trace.alarms().size(),
                trace.events().hashCode(),
                trace.checks().hashCode());
    boolean settled = isSettled(log);
    if (settled) {
      synchronized (reviews) {
        Review there = reviews.get(key);
        if (there != null) {
          return there;
        }
      }
    }
    Review review = Review.of(log, trace, records().demands(), zone());
    if (settled) {
      keep(log, trace, review);
      synchronized (reviews) {
        reviews.put(key, review);
      }
    }
    return review;
  }

  private void keep(TripLog log, TripTrace trace, Review review) {
    TripRecords records = records();
    if (records.takesEntries()) {
      records.keep(log.trip().id(), trace.readings(), trace.alarms());
      PastDemand.of(review).ifPresentOrElse(records::learn, () -> records.unlearn(log.trip().id()));
    }
  }

  /** The report of a review, in which a movement stands by what it says. */
  TripReport report(Review review) {
    return TripReport.of(
        review,
        zone(),
        id -> work.get().map(RecordBook::records).map(records -> records.title(id)).orElse(id),
        Stream.concat(
                papers().of(review).stream(),
                work
                    .get()
                    .map(book -> LossWords.of(review.log(), book.records()))
                    .orElse(List.of())
                    .stream())
            .toList());
  }

  /** The reviews of a trip were of what it was before. */
  void forget(String trip) {
    synchronized (reviews) {
      reviews.keySet().removeIf(key -> key.startsWith(trip + " "));
    }
    synchronized (laidDown) {
      laidDown.remove(trip);
      walkedTo = Optional.empty(); // it may be one of long ago
      walkedToTheFirst = false;
    }
  }

  /**
   * Refuses a trip that another farm has written. Taken in all the same it stands as that farm's:
   * nothing of it is mixed with what is measured and written here, and no plan is made by it.
   */
  void requireOwn(TripFile file) {
    String own = live.farm().name();
    if (!file.farm().equals(own)) {
      throw Problem.conflict(
          "This trip is of another farm, %s, not of %s. Take it in all the same only if you are sure; it stays marked as theirs, and your plans do not learn from it."
              .formatted(file.farm(), own));
    }
  }

  /** The trip as a file, with the checks that were written down at its tank as its own. */
  TripFile file(TripLog log) {
    TripTrace trace = trace(log);
    return new TripFile(
        live.farm().name(),
        measured.withTankChecks(log, trace),
        trace.readings(),
        trace.alarms(),
        trace.events());
  }
}
