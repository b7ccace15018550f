// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.Consumer;
import java.util.function.Function;
import java.util.function.UnaryOperator;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmChanges;
import opercle.analysis.farm.FarmMerge;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.farm.FarmWriter;
import opercle.ingest.settings.UnusableInputException;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The farm that is in force, and the one door through which it is changed while everything runs.
 *
 * <p>A change is in the farm book before anybody is told of it. At a start the book counts, but for
 * what a hand has changed in the farm's file since it was read last: see {@link FarmMerge}. Nothing
 * is ever written to that file.
 *
 * <p>For any thread; changes take turns, and followers are told in order, on the thread that
 * changes.
 */
public final class FarmDesk implements FarmDoor {

  private static final Logger log = LoggerFactory.getLogger(FarmDesk.class);

  /** The clock of the machine with the pages may be ahead of this one's by so much (ours). */
  private static final Duration CLOCKS_DIFFER = Duration.ofMinutes(10);

  private final FarmRecords records;
  private final InstantSource clock;
  private final List<Consumer<FarmVersion>> followers = new CopyOnWriteArrayList<>();
  private volatile Function<String, Optional<String>> whyNot = id -> Optional.empty();
  private volatile FarmVersion version;
  private volatile Set<String> tankIds;
  private volatile @Nullable Recent recent;

  /**
   * The newest versions as of one of them: pages ask every other second, the book seldom has more.
   */
  private record Recent(int most, long of, List<FarmVersion> versions) {}

  private FarmDesk(FarmRecords records, InstantSource clock, FarmVersion version) {
    this.records = records;
    this.clock = clock;
    this.version = version;
    this.tankIds = version.farm().tankIds();
  }

  /**
   * Takes up the farm where it was left, with what a hand has changed in its file since; says in
   * the log which.
   *
   * @param file the farm as its file describes it now
   * @param fileName what to call the file
   */
  public static FarmDesk open(
      FarmRecords records, Farm file, String fileName, InstantSource clock) {
    Optional<FarmVersion> newest = records.newest();
    Optional<Farm> fileBefore = records.file();
    Instant now = clock.instant();
    if (newest.isEmpty() || fileBefore.isEmpty()) {
      records.takeFile(file, now, fileName, Optional.of(file), List.of("As in " + fileName + "."));
    } else if (!fileBefore.get().equals(file)) {
      Farm inForce = newest.get().farm();
      Farm merged = usable(FarmMerge.of(fileBefore.get(), file, inForce), inForce, fileName);
      List<String> what = FarmChanges.between(inForce, merged);
      boolean isNew = !merged.equals(inForce);
      records.takeFile(file, now, fileName, Optional.of(merged).filter(f -> isNew), what);
      if (isNew) {
        log.info("{} was changed by hand since the last start, which counts:", fileName);
        what.forEach(sentence -> log.info("  {}", sentence));
      }
    }
    FarmVersion inForce = records.newest().orElseThrow();
    List<String> elsewhere = FarmChanges.between(file, inForce.farm());
    if (!elsewhere.isEmpty()) {
      log.info("set up on the pages, and other than in {}:", fileName);
      elsewhere.forEach(sentence -> log.info("  {}", sentence));
    }
    return new FarmDesk(records, clock, inForce);
  }

  /** The farm in force. */
  public Farm farm() {
    return version.farm();
  }

  @Override
  public FarmVersion version() {
    return version;
  }

  /** Whether the farm has a tank of that id; asked for every reading. */
  public boolean hasTank(String id) {
    return tankIds.contains(id);
  }

  @Override
  public List<FarmVersion> history(int most) {
    Recent known = recent;
    if (known == null || known.most() != most || known.of() != version.number()) {
      long of = version.number(); // read first: a later one may be among those from the book
      known = new Recent(most, of, records.newest(most));
      recent = known;
    }
    return known.versions();
  }

  /** Tells of every change from now on, once it is in the book. */
  public void follow(Consumer<FarmVersion> follower) {
    followers.add(follower);
  }

  /**
   * Refuses from now on to take in a tank that cannot be watched here.
   *
   * @param why it cannot, by its id, as a sentence; empty if it can
   */
  public void takeIn(Function<String, Optional<String>> why) {
    whyNot = why;
  }

  private void requireWatched(Farm before, Farm next) {
    next.tankIds().stream()
        .filter(id -> before.tank(id).isEmpty())
        .flatMap(id -> whyNot.apply(id).stream())
        .findFirst()
        .ifPresent(
            why -> {
              throw new RefusedActException(why);
            });
  }

  @Override
  public synchronized FarmVersion change(
      OptionalLong basedOn, String by, UnaryOperator<Farm> change, Runnable with) {
    FarmVersion before = version;
    if (basedOn.isPresent() && basedOn.getAsLong() != before.number()) {
      throw new RefusedActException(
          "%s has changed the farm meanwhile. Look at it again, then change it."
              .formatted(before.by()));
    }
    Farm next = checked(change.apply(before.farm()));
    if (next.equals(before.farm())) {
      return before;
    }
    if (!next.name().equals(before.farm().name())) {
      throw new RefusedActException(
          "The farm's name cannot be changed while Opercle runs: displays and sirens go by it."
              + " Change it in farm.yaml and start Opercle again.");
    }
    requireWatched(before.farm(), next);
    List<String> what = FarmChanges.between(before.farm(), next);
    FarmVersion after = records.add(next, clock.instant(), by, what, with);
    version = after;
    tankIds = next.tankIds();
    log.info("the farm is changed by {}: {}", by, String.join(" ", what));
    followers.forEach(follower -> follower.accept(after));
    return after;
  }

  @Override
  public FarmVersion putIn(
      OptionalLong basedOn, String by, UnaryOperator<Farm> change, PutIn fish) {
    Instant now = clock.instant();
    if (fish.since().isBefore(Instant.EPOCH)
        || fish.since().isAfter(now.plus(CLOCKS_DIFFER))) { // far off no book can count it either
      throw new RefusedActException(
          "The fish cannot have gone in at %s: it must be a time since 1970 that is not to come."
              .formatted(fish.since()));
    }
    Instant since = fish.since().isAfter(now) ? now : fish.since();
    return change(basedOn, by, change, () -> records.putIn(fish.tank(), since));
  }

  /**
   * What file and pages make together, where it is a farm: both may have taken out the other's last
   * tank. What could not be read again must never be kept, or nothing would start any more.
   */
  private static Farm usable(Farm merged, Farm inForce, String fileName) {
    try {
      return checked(merged);
    } catch (UnusableInputException e) {
      log.error(
          "{} was changed by hand, but with what was set up on the pages it makes no farm ({});"
              + " what was in force before goes on",
          fileName,
          e.getMessage());
      return inForce;
    }
  }

  /** Only what can be read again may get into the book; the reader knows every limit. */
  private static Farm checked(Farm farm) {
    return FarmReader.parse("farm", FarmWriter.write(farm));
  }
}
