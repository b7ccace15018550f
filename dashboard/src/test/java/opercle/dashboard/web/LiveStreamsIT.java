// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.IntStream;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.publish.TankAct;
import opercle.analysis.stock.Species;
import opercle.analysis.watch.TankState;
import org.junit.jupiter.api.Test;

/**
 * As many live streams as the server takes, over real sockets, with some that read one byte a
 * second: nobody else may notice those. Prints its figures; performance.md has them.
 */
class LiveStreamsIT {

  private static final int STREAMS = 500;
  private static final int SLOW = 20;

  /** A snapshot of so many tanks fills any socket's buffer within the run. */
  private static final int TANKS = 60;

  private static final Duration RUN = Duration.ofSeconds(25);
  private static final Duration DRAIN = Duration.ofSeconds(10);

  /**
   * Over what is used before, after the collector has run. They take about 5 MB; one copy of each
   * event kept for each listener would take 260 MB.
   */
  private static final long MOST_BYTES = 20L * 1024 * 1024;

  /** Events that are made while nobody reads, and of how many tanks each tells. */
  private static final int UNREAD_EVENTS = 300;

  private static final int MANY_TANKS = 400;

  /**
   * Each listener holds one event that it is sent, 260 kB: 5 MB, and up to 18 MB were seen beside
   * other work. If all kept all, which they share, it is 78 MB.
   */
  private static final long MOST_UNREAD_BYTES = 30L * 1024 * 1024;

  @Test
  void fiveHundredStreams_withTwentyThatReadAByteASecond_areNotASecondLate() throws Exception {
    var pace = new LiveFeed.Pace(Duration.ofSeconds(1), DRAIN, STREAMS);
    try (var server =
            DashboardServer.start(
                DashboardSettings.onLoopback(0), new OnTime(TANKS), new FakeTraces(), pace);
        var readers = new ManyReaders(server.port())) {
      long before = usedBytes();

      readers.open(STREAMS - SLOW, SLOW);
      await().atMost(Duration.ofSeconds(30)).until(() -> server.listening() == STREAMS);
      Instant begin = Instant.now();
      readers.measureFrom(begin);
      await()
          .atMost(RUN.plusSeconds(10))
          .pollInterval(Duration.ofSeconds(1))
          .until(() -> Instant.now().isAfter(begin.plus(RUN)));
      readers.stop();
      long grown = usedBytes() - before;

      System.out.println(
          String.format(
              Locale.ROOT,
              "%d streams, %d of them slow, %d tanks, %d bytes a frame: late p50 %.0f ms, p99 %.0f ms,"
                  + " most %.0f ms over %d frames; %d kB of heap more; %d let go",
              STREAMS,
              SLOW,
              TANKS,
              readers.frameBytes(),
              readers.lateMs(0.5),
              readers.lateMs(0.99),
              readers.lateMs(1.0),
              readers.frames(),
              grown / 1024,
              STREAMS - server.listening()));
      assertThat(grown).as("heap").isLessThan(MOST_BYTES);
      assertThat(readers.fewestFrames())
          .as("frames of each")
          .isGreaterThan((int) RUN.toSeconds() - 3);
      assertThat(readers.lateMs(1.0)).as("latest frame, ms").isLessThan(1000.0);
      assertThat(server.listening()).as("the slow ones are let go").isEqualTo(STREAMS - SLOW);
      assertThat(readers.slowThatComesBack())
          .as("one who was let go may come back, and is sent the newest")
          .isAfter(begin.plus(RUN).minusSeconds(2));
    }
  }

  @Test
  void listenersThatDoNotRead_keepOneEventEach_howeverManyAreMade() throws Exception {
    var farm = new OnTime(MANY_TANKS);
    var pace = new LiveFeed.Pace(Duration.ofMillis(2), Duration.ofMinutes(5), STREAMS);
    try (var server =
            DashboardServer.start(DashboardSettings.onLoopback(0), farm, new FakeTraces(), pace);
        var readers = new ManyReaders(server.port())) {
      readers.open(0, SLOW);
      await().until(() -> server.listening() == SLOW);
      untilMade(farm, 20); // what the first events need anyway is there by now
      long before = usedBytes();
      int made = farm.snapshots.get();
      untilMade(farm, UNREAD_EVENTS);
      readers.stop();
      long grown = usedBytes() - before;
      int events = farm.snapshots.get() - made;

      System.out.println(
          String.format(
              Locale.ROOT,
              "%d streams that do not read, %d tanks, %d events: %d kB of heap more",
              SLOW,
              MANY_TANKS,
              events,
              grown / 1024));
      assertThat(server.listening()).as("they are still there").isEqualTo(SLOW);
      assertThat(grown).as("heap").isLessThan(MOST_UNREAD_BYTES);
    }
  }

  private static void untilMade(OnTime farm, int more) {
    int enough = farm.snapshots.get() + more;
    await().atMost(Duration.ofSeconds(60)).until(() -> farm.snapshots.get() >= enough);
  }

  private static long usedBytes() {
    System.gc();
    Runtime runtime = Runtime.getRuntime();
    return runtime.totalMemory() - runtime.freeMemory();
  }

  /** A farm whose time is that of the machine, so that a frame tells how late it comes. */
  private static final class OnTime implements LiveFarm {

    private final List<Tank> tanks;
    private final List<TankState> states = new ArrayList<>();

    /** How many events were made. */
    private final AtomicInteger snapshots = new AtomicInteger();

    OnTime(int count) {
      tanks =
          IntStream.range(0, count)
              .mapToObj(
                  i ->
                      FakeFarm.air("h" + i, "Holding " + i, 40, FakeFarm.load(Species.ROACH, 9, 9)))
              .toList();
      tanks.forEach(t -> states.add(FakeFarm.holding(t.id(), 9.1, 87.0, 12.4, 40.2, 64.0)));
    }

    @Override
    public Farm farm() {
      return new Farm("Sallowmere", 40.0, tanks);
    }

    @Override
    public Instant now() {
      return Instant.now();
    }

    @Override
    public List<TankState> states() {
      snapshots.incrementAndGet();
      return states;
    }

    @Override
    public void perform(TankAct act) {
      throw new UnsupportedOperationException("nobody acts here");
    }

    @Override
    public NotTaken notTaken() {
      return NotTaken.NOTHING;
    }

    @Override
    public List<String> troubles() {
      return List.of();
    }
  }
}
