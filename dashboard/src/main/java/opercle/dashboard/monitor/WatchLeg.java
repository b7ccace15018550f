// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.function.Supplier;
import opercle.analysis.evening.Reach;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import opercle.ingest.mqtt.SensorSubscriber;

/**
 * The way of a reading to the watch and of an alarm to people: broker, store, lag, listeners,
 * channels. For one thread.
 */
public final class WatchLeg implements Leg {

  /** A batch in hand for longer than this makes everything late. */
  static final Duration LATE_AFTER = Duration.ofSeconds(10);

  private final Supplier<Optional<String>> broker;
  private final Supplier<Optional<String>> store;
  private final Supplier<Duration> behind;
  private final Supplier<List<String>> news;
  private final Supplier<Reach> reach;

  /**
   * Looks at suppliers, each asked once a second.
   *
   * @param broker why the broker is not connected
   * @param store why a sink takes nothing
   * @param behind for how long the batch in hand has been so
   * @param news what keeps alarms from getting out, or from the disk
   * @param reach who would be called
   */
  WatchLeg(
      Supplier<Optional<String>> broker,
      Supplier<Optional<String>> store,
      Supplier<Duration> behind,
      Supplier<List<String>> news,
      Supplier<Reach> reach) {
    this.broker = broker;
    this.store = store;
    this.behind = behind;
    this.news = news;
    this.reach = reach;
  }

  /** Looks at a subscriber, and at what the watch says of itself. */
  public static WatchLeg of(
      SensorSubscriber subscriber, Supplier<List<String>> news, Supplier<Reach> reach) {
    return new WatchLeg(
        () -> subscriber.linkState().trouble(),
        subscriber::trouble,
        subscriber::behind,
        news,
        reach);
  }

  /** Looks at a subscriber that only stores readings. */
  public static WatchLeg ofIntake(SensorSubscriber subscriber) {
    return new WatchLeg(
        () -> subscriber.linkState().trouble(),
        subscriber::trouble,
        () -> Duration.ZERO,
        List::of,
        () -> Reach.NOT_KNOWN);
  }

  @Override
  public String what() {
    return "the way of readings";
  }

  @Override
  public Map<TroubleKey, String> look(long steadyNanos) {
    Map<TroubleKey, String> found = new LinkedHashMap<>();
    broker
        .get()
        .ifPresent(
            why ->
                found.put(
                    TroubleKey.of(TroubleKind.BROKER_LOST),
                    "No readings arrive: %s.".formatted(HubWords.of(why))));
    Optional<String> full = store.get();
    full.ifPresent(
        why ->
            found.put(
                TroubleKey.of(TroubleKind.STORE_UNWRITABLE),
                "Readings wait at the hub that probes send to: %s.".formatted(why)));
    if (full.isEmpty() && behind.get().compareTo(LATE_AFTER) > 0) {
      found.put(
          TroubleKey.of(TroubleKind.ANALYSIS_LATE),
          "Readings wait for more than %d s before the watch sees them."
              .formatted(LATE_AFTER.toSeconds()));
    }
    List<String> held = news.get();
    if (!held.isEmpty()) {
      found.put(TroubleKey.of(TroubleKind.NEWS_HELD_UP), capital(String.join("; ", held)) + ".");
    }
    for (Reach.Way way : reach.get().ways()) {
      way.trouble()
          .ifPresent(
              why ->
                  found.put(
                      TroubleKey.of(TroubleKind.CHANNEL_DEAD, way.person() + "-" + way.channel()),
                      "%s cannot be called by %s: %s".formatted(way.person(), way.channel(), why)));
    }
    return found;
  }

  private static String capital(String words) {
    return words.substring(0, 1).toUpperCase(Locale.ROOT) + words.substring(1);
  }
}
