// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import static org.assertj.core.api.Assertions.assertThat;

import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.atomic.AtomicReference;
import opercle.analysis.evening.Reach;
import opercle.analysis.monitor.Heartbeat.Cycle;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleEvent;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import opercle.dashboard.monitor.DiskLeg.Room;
import org.awaitility.Awaitility;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Pulls one link after the other, by clocks that the test sets, and times what is told. */
class SelfWatchTest {

  private static final long SECOND = 1_000_000_000L;
  private static final long GIB = 1L << 30;

  private final AtomicReference<Instant> wall =
      new AtomicReference<>(Instant.parse("2026-03-14T21:00:00Z"));
  private final AtomicLong steady = new AtomicLong();
  private final List<TroubleEvent> told = new ArrayList<>();

  private boolean fault;
  private Optional<String> broker = Optional.empty();
  private Optional<String> store = Optional.empty();
  private Duration behind = Duration.ZERO;
  private List<String> news = List.of();
  private Reach reach = Reach.NOBODY;
  private final WatchLeg way =
      new WatchLeg(this::broker, () -> store, () -> behind, () -> news, () -> reach);

  private Optional<String> broker() {
    if (fault) {
      throw new IllegalStateException("a fault of ours, wanted by this test");
    }
    return broker;
  }

  @Test
  void allWell_isNoNews() {
    SelfWatch watch = watching(way);

    pass(watch, 600);

    assertThat(told).isEmpty();
    assertThat(watch.standing()).isEmpty();
  }

  @Test
  void brokerLost_isToldAfterHalfAMinute_andIsOverAMinuteAfterItIsBack() {
    SelfWatch watch = watching(way);
    broker = Optional.of("nobody answers");

    assertThat(secondsUntil(watch, TroubleKind.BROKER_LOST, TroubleEvent.Kind.RAISED))
        .isEqualTo(31);
    broker = Optional.empty();
    assertThat(secondsUntil(watch, TroubleKind.BROKER_LOST, TroubleEvent.Kind.CLEARED))
        .isEqualTo(60);
  }

  @Test
  void storeUnwritable_isToldAfterTenSeconds_andHidesTheLag() {
    SelfWatch watch = watching(way);
    store = Optional.of("SqliteReadings does not take readings: disk full");
    behind = Duration.ofMinutes(5);

    assertThat(secondsUntil(watch, TroubleKind.STORE_UNWRITABLE, TroubleEvent.Kind.RAISED))
        .isEqualTo(11);
    pass(watch, 60);
    assertThat(watch.standing()).hasSize(1);
  }

  @Test
  void analysisLate_isTold() {
    SelfWatch watch = watching(way);
    behind = Duration.ofSeconds(11);

    assertThat(secondsUntil(watch, TroubleKind.ANALYSIS_LATE, TroubleEvent.Kind.RAISED))
        .isEqualTo(21);
  }

  @Test
  void newsHeldUp_andDeadChannel_areTold() {
    SelfWatch watch = watching(way);
    news = List.of("the watch's memory cannot be saved");
    reach =
        new Reach(
            true, List.of(new Reach.Way("Ann", "mail", Optional.empty(), Optional.of("refused."))));

    pass(watch, 61);

    assertThat(watch.standing())
        .extracting(t -> t.key().id(), MonitorTrouble::words)
        .containsExactly(
            org.assertj.core.groups.Tuple.tuple(
                "channel-dead-ann-mail", "Ann cannot be called by mail: refused."),
            org.assertj.core.groups.Tuple.tuple(
                "news-held-up", "The watch's memory cannot be saved."));
  }

  @Test
  void clock_putBackByAnHour_isToldAtOnce() {
    SelfWatch watch = watching(new ClockLeg(wall::get));
    pass(watch, 10);

    wall.updateAndGet(t -> t.minus(Duration.ofHours(1)));
    pass(watch, 1);

    assertThat(watch.standing())
        .singleElement()
        .extracting(MonitorTrouble::words)
        .isEqualTo("The clock was put back by 60 min.");
    pass(watch, 3601);
    assertThat(watch.standing()).isEmpty();
  }

  @Test
  void disk_thatFills_isToldTwice(@TempDir Path folder) {
    AtomicLong free = new AtomicLong(50 * GIB);
    SelfWatch watch =
        watching(new DiskLeg(folder, () -> new Room(free.get(), 100 * GIB), Runnable::run));
    pass(watch, 20);
    assertThat(watch.standing()).isEmpty();

    free.set(GIB);
    assertThat(secondsUntil(watch, TroubleKind.DISK_NEARLY_FULL, TroubleEvent.Kind.RAISED))
        .isBetween(60, 71);
    free.set(100 << 20);
    assertThat(secondsUntil(watch, TroubleKind.DISK_FULL, TroubleEvent.Kind.RAISED))
        .isLessThanOrEqualTo(10);
  }

  @Test
  void folder_thatIsGone_isUnwritable_withinTwentySeconds(@TempDir Path folder) throws Exception {
    Path data = Files.createDirectory(folder.resolve("data"));
    SelfWatch watch =
        watching(new DiskLeg(data, () -> new Room(50 * GIB, 100 * GIB), Runnable::run));
    pass(watch, 1);

    Files.delete(data);

    assertThat(secondsUntil(watch, TroubleKind.STORE_UNWRITABLE, TroubleEvent.Kind.RAISED))
        .isLessThanOrEqualTo(20);
  }

  @Test
  void disk_thatHangs_isUnwritable_andDoesNotHoldUpTheLook(@TempDir Path folder) {
    List<Runnable> neverRun = new ArrayList<>();
    SelfWatch watch =
        watching(new DiskLeg(folder, () -> new Room(50 * GIB, 100 * GIB), neverRun::add));

    assertThat(secondsUntil(watch, TroubleKind.STORE_UNWRITABLE, TroubleEvent.Kind.RAISED))
        .isEqualTo(31);
    assertThat(neverRun).hasSize(1);
  }

  @Test
  void stuckPart_isToldAfterTwentySeconds_andEndsTheProcessAfterAMinute() {
    AtomicLong count = new AtomicLong();
    List<String> ended = new ArrayList<>();
    SelfWatch watch =
        watching(new ProgressLeg(Map.of("watch", () -> OptionalLong.of(count.get())), ended::add));
    for (int i = 0; i < 30; i++) {
      count.incrementAndGet();
      pass(watch, 1);
    }
    assertThat(told).isEmpty();

    assertThat(secondsUntil(watch, TroubleKind.PART_STUCK, TroubleEvent.Kind.RAISED)).isEqualTo(20);
    pass(watch, 39);
    assertThat(ended).isEmpty();
    pass(watch, 1);
    assertThat(ended).containsExactly("the watch has stood still for 60 s");
  }

  @Test
  void leg_withAFault_doesNotHideTheOthers_andIsATroubleItself() {
    SelfWatch watch = watching(new Faulty(), way);
    broker = Optional.of("nobody answers");

    assertThat(secondsUntil(watch, TroubleKind.BROKER_LOST, TroubleEvent.Kind.RAISED))
        .isEqualTo(31);
    assertThat(watch.standing())
        .extracting(t -> t.key().id())
        .containsExactlyInAnyOrder("broker-lost", "not-looked-at-a-part-of-it");
  }

  @Test
  void leg_withAFault_leavesStandingWhatItFoundLast() {
    SelfWatch watch = watching(way);
    broker = Optional.of("nobody answers");
    pass(watch, 60);

    fault = true;
    pass(watch, 300);

    assertThat(watch.standing())
        .extracting(t -> t.key().id())
        .containsExactlyInAnyOrder("broker-lost", "not-looked-at-the-way-of-readings");
    assertThat(watch.standing())
        .extracting(MonitorTrouble::words)
        .contains("The monitor cannot look at the way of readings.");
  }

  /** As any part might be. */
  private static final class Faulty implements Leg {
    @Override
    public Map<TroubleKey, String> look(long steadyNanos) {
      throw new IllegalStateException("a fault of ours, wanted by this test");
    }
  }

  @Test
  void disk_thatIsFullToTheLastByte_isFull_notUnwritable(@TempDir Path folder) throws Exception {
    Path data = Files.createDirectory(folder.resolve("data"));
    Files.delete(data); // so that nothing can be written
    SelfWatch watch = watching(new DiskLeg(data, () -> new Room(0, 100 * GIB), Runnable::run));
    pass(watch, 1);

    assertThat(watch.standing()).extracting(t -> t.key().id()).containsExactly("disk-full");
  }

  @Test
  void certificate_isAskedAgainSoonAfterAFailure_andEverySixHoursOtherwise() {
    List<Optional<Instant>> answers = new ArrayList<>();
    AtomicReference<Optional<Instant>> end = new AtomicReference<>(Optional.empty());
    SelfWatch watch =
        watching(
            new CertificateLeg(
                "broker",
                wall::get,
                () -> {
                  answers.add(end.get());
                  return end.get();
                },
                Runnable::run));
    pass(watch, 2);
    end.set(Optional.of(Instant.parse("2026-03-23T21:00:00Z")));

    assertThat(secondsUntil(watch, TroubleKind.CERTIFICATE_ENDS, TroubleEvent.Kind.RAISED))
        .isBetween(595, 605);
    pass(watch, 5 * 3600);
    assertThat(answers).hasSize(2);
    pass(watch, 3700);
    assertThat(answers).hasSize(3);
  }

  @Test
  void certificate_isToldAnew_threeDaysBeforeItsEnd_andAtItsEnd() {
    Instant end = Instant.parse("2026-03-23T21:00:00Z"); // in nine days
    SelfWatch watch =
        watching(new CertificateLeg("broker", wall::get, () -> Optional.of(end), Runnable::run));
    List<String> ids = new ArrayList<>();
    for (int days = 0; days < 11; days++) {
      pass(watch, 3);
      watch.standing().forEach(t -> ids.add(t.key().id()));
      wall.updateAndGet(t -> t.plus(Duration.ofDays(1)));
    }

    assertThat(ids.stream().distinct())
        .containsExactly(
            "certificate-ends-broker",
            "certificate-ends-broker-soon",
            "certificate-ends-broker-over");
  }

  @Test
  void certificate_thatCannotBeAskedForByAFault_isAskedAgainSoon() {
    AtomicInteger asked = new AtomicInteger();
    SelfWatch watch =
        watching(
            new CertificateLeg(
                "broker",
                wall::get,
                () -> {
                  if (asked.incrementAndGet() == 1) {
                    throw new IllegalArgumentException("a fault of ours, wanted by this test");
                  }
                  return Optional.of(Instant.parse("2026-03-23T21:00:00Z"));
                },
                Runnable::run));

    assertThat(secondsUntil(watch, TroubleKind.CERTIFICATE_ENDS, TroubleEvent.Kind.RAISED))
        .isBetween(595, 605);
    assertThat(watch.standing())
        .extracting(t -> t.key().kind())
        .containsExactly(TroubleKind.CERTIFICATE_ENDS);
  }

  // ---- the heartbeat, to a real server

  private final AtomicInteger beats = new AtomicInteger();
  private final AtomicInteger answer = new AtomicInteger(200);
  private final HttpServer outside = server();

  private HttpServer server() {
    try {
      HttpServer server =
          HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), 0);
      server.createContext(
          "/",
          exchange -> {
            beats.incrementAndGet();
            exchange.sendResponseHeaders(answer.get(), -1);
            exchange.close();
          });
      server.start();
      return server;
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }

  @AfterEach
  void stop() {
    outside.stop(0);
  }

  @Test
  void heartbeat_stopsWithTheReadings_andSaysSoAfterThreeIntervals() {
    AtomicLong readings = new AtomicLong();
    AtomicLong seconds = new AtomicLong();
    HeartbeatLeg heart = heart(readings, seconds);
    SelfWatch watch = watching(heart);
    for (int i = 0; i < 121; i++) {
      readings.incrementAndGet();
      seconds.incrementAndGet();
      pass(watch, 1);
    }
    awaitBeats(2);
    Awaitility.await().until(() -> !heart.isWaiting());

    for (int i = 0; i < 180; i++) {
      seconds.incrementAndGet(); // the watch runs, but hears nothing
      pass(watch, 1);
    }

    assertThat(beats).hasValue(2);
    assertThat(watch.standing())
        .singleElement()
        .extracting(MonitorTrouble::words)
        .asString()
        .contains("no reading came since the last one");
  }

  @Test
  void heartbeat_thatIsRefused_isATrouble_untilOneIsTaken() {
    AtomicLong readings = new AtomicLong();
    AtomicLong seconds = new AtomicLong();
    SelfWatch watch = watching(heart(readings, seconds));
    pass(watch, 1);
    answer.set(503);
    for (int beat = 1; beat <= 3; beat++) {
      interval(watch, readings, seconds);
      awaitBeats(beat);
    }
    Awaitility.await()
        .untilAsserted(
            () -> {
              watch.look();
              assertThat(watch.standing())
                  .singleElement()
                  .extracting(MonitorTrouble::words)
                  .asString()
                  .contains("HTTP status 503");
            });

    answer.set(204);
    interval(watch, readings, seconds);
    Awaitility.await()
        .untilAsserted(
            () -> {
              watch.look();
              assertThat(watch.standing()).isEmpty();
            });
  }

  private HeartbeatLeg heart(AtomicLong readings, AtomicLong seconds) {
    return new HeartbeatLeg(
        URI.create("http://127.0.0.1:" + outside.getAddress().getPort() + "/"),
        Duration.ofSeconds(60),
        () -> new Cycle(readings.get(), seconds.get(), false, Optional.empty()));
  }

  private void interval(SelfWatch watch, AtomicLong readings, AtomicLong seconds) {
    readings.incrementAndGet();
    seconds.addAndGet(61);
    pass(watch, 61);
  }

  private void awaitBeats(int count) {
    Awaitility.await().until(() -> beats.get() == count);
  }

  // ---- time

  private SelfWatch watching(Leg... legs) {
    return new SelfWatch(
        wall::get, steady::get, List.of(legs), List.of((events, standing) -> told.addAll(events)));
  }

  private void pass(SelfWatch watch, int seconds) {
    for (int i = 0; i < seconds; i++) {
      steady.addAndGet(SECOND);
      wall.updateAndGet(t -> t.plusSeconds(1));
      watch.look();
    }
  }

  private int secondsUntil(SelfWatch watch, TroubleKind kind, TroubleEvent.Kind event) {
    for (int second = 1; second <= 4000; second++) {
      pass(watch, 1);
      if (told.stream().anyMatch(e -> is(e, kind, event))) {
        return second;
      }
    }
    throw new AssertionError("never told: " + kind + " " + event);
  }

  private static boolean is(TroubleEvent e, TroubleKind kind, TroubleEvent.Kind event) {
    return e.trouble().key().kind() == kind && e.event() == event;
  }
}
