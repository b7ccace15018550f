// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The spool's queue and who empties it, without any server. */
class ForwarderTest {

  private static final Instant START = Instant.parse("2026-03-14T02:00:00Z");
  private static final Series OXYGEN = new Series("h1", Quantity.OXYGEN, "1");

  @TempDir Path folder;
  private SqliteReadings store;
  private SqliteSpool spool;
  private final List<Reading> arrived = new ArrayList<>();

  @BeforeEach
  void open() {
    store = SqliteReadings.openSpool(folder.resolve("spool.db"));
    spool = new SqliteSpool(store);
  }

  @AfterEach
  void close() {
    store.close();
  }

  private Forwarder to(Forwarder.Target target) {
    return Forwarder.notStarted(spool, target, InstantSource.system());
  }

  private void arrive(List<Unsent> items) {
    items.forEach(i -> arrived.addAll(i.readings()));
  }

  private static List<Reading> seconds(int from, int to) {
    return IntStream.range(from, to)
        .mapToObj(s -> new Reading("h1", Quantity.OXYGEN, "1", START.plusSeconds(s), s))
        .toList();
  }

  private static InfluxTrouble trouble(InfluxTrouble.Kind kind) {
    return new InfluxTrouble(kind, "no", Optional.empty(), new IllegalStateException("no"));
  }

  @Test
  void readings_areSentOnceAndInOrder() throws Exception {
    Forwarder forwarder = to(this::arrive);
    store.accept(seconds(30, 150));
    assertThat(forwarder.forward()).isFalse();
    store.accept(seconds(150, 170));
    assertThat(forwarder.forward()).isFalse();
    assertThat(forwarder.forward()).isFalse();

    assertThat(arrived).isEqualTo(seconds(30, 170));
    assertThat(spool.waitingSince()).isEmpty();
  }

  @Test
  void readingThatComesWhileItsMinuteIsBeingSent_isSentNext() throws Exception {
    store.accept(seconds(0, 10));
    to(items -> {
          arrive(items);
          store.accept(seconds(10, 12));
        })
        .forward();
    assertThat(spool.waitingSince()).contains(START);

    to(this::arrive).forward();

    assertThat(arrived).isEqualTo(seconds(0, 12));
    assertThat(spool.waitingSince()).isEmpty();
  }

  @Test
  void summary_isOfTheWholeMinuteAndSoLateReadingsSendItAnew() throws Exception {
    List<Bucket> summaries = new ArrayList<>();
    Forwarder forwarder = to(items -> items.forEach(i -> i.summary().ifPresent(summaries::add)));
    store.accept(seconds(0, 1)); // the first minute may have begun elsewhere
    store.accept(seconds(60, 100));
    forwarder.forward();
    store.accept(List.of(new Reading("h1", Quantity.OXYGEN, "1", START.plusMillis(60_500), -3.0)));
    forwarder.forward();

    assertThat(summaries).extracting(Bucket::count).containsExactly(1L, 40L, 41L);
    assertThat(summaries.get(2).min()).isEqualTo(-3.0);
    assertThat(summaries.get(2).max()).isEqualTo(99.0);
  }

  @Test
  void away_keepsAllForLater_alsoOverARestart() throws Exception {
    store.accept(seconds(0, 100));
    Forwarder away =
        to(
            items -> {
              throw trouble(InfluxTrouble.Kind.AWAY);
            });
    assertThatThrownBy(away::forward).isInstanceOf(InfluxTrouble.class);
    store.close();

    open();
    to(this::arrive).forward();

    assertThat(arrived).isEqualTo(seconds(0, 100));
  }

  @Test
  void minuteThatIsRefused_isGivenUpAloneAndSaid() throws Exception {
    store.accept(seconds(0, 600));
    Forwarder forwarder =
        to(
            items -> {
              if (items.stream().anyMatch(i -> i.start().equals(START.plusSeconds(180)))) {
                throw trouble(InfluxTrouble.Kind.REFUSED);
              }
              arrive(items);
            });

    forwarder.forward();

    List<Reading> others = new ArrayList<>(seconds(0, 180));
    others.addAll(seconds(240, 600));
    assertThat(arrived).isEqualTo(others);
    assertThat(spool.waitingSince()).isEmpty();
    assertThat(new SpoolRoom(store, 1L << 30).givenUp())
        .containsExactly(
            new GivenUp(
                GivenUp.What.REFUSED,
                60,
                START.plusSeconds(180),
                START.plusSeconds(240).minusMillis(1)));
  }

  /** As a proxy in between does that is set up wrongly: the fault is not the points'. */
  @Test
  void whereEverythingIsRefused_nothingIsGivenUp() {
    store.accept(seconds(0, 600));
    Forwarder forwarder =
        to(
            items -> {
              throw trouble(InfluxTrouble.Kind.REFUSED);
            });

    assertThatThrownBy(forwarder::forward).isInstanceOf(InfluxTrouble.class);

    assertThat(spool.waitingSince()).contains(START);
    assertThat(new SpoolRoom(store, 1L << 30).givenUp()).isEmpty();
  }

  @Test
  void backlogThatIsRefused_isGivenUpOnceTheNewestIsTaken() throws Exception {
    store.accept(seconds(0, 60 * 1_100)); // more than one helping
    store.accept(seconds(200_000, 200_010));
    Forwarder forwarder =
        to(
            items -> {
              if (items.stream().anyMatch(i -> i.start().isBefore(START.plusSeconds(100_000)))) {
                throw trouble(InfluxTrouble.Kind.REFUSED);
              }
              arrive(items);
            });

    boolean more = true;
    for (int helping = 0; more && helping < 100; helping++) {
      store.accept(seconds(200_010 + helping, 200_011 + helping)); // life goes on
      more = forwarder.forward();
    }

    assertThat(more).isFalse();
    assertThat(new SpoolRoom(store, 1L << 30).givenUp())
        .extracting(GivenUp::readings)
        .containsExactly(60L * 1_100);
    assertThat(arrived).containsAll(seconds(200_000, 200_011));
  }

  @Test
  void whatIsSent_leavesTheSpool_whatIsNotStays() throws Exception {
    store.accept(seconds(0, 600));
    to(this::arrive).forward();
    store.accept(List.of(new Reading("h1", Quantity.OXYGEN, "1", START.plusMillis(120_500), 5.0)));

    int deleted = store.deleteSomeSent(OXYGEN, START.plusSeconds(330), 1_000_000);

    assertThat(deleted).isEqualTo(240);
    List<Reading> left = store.range(OXYGEN, START, START.plusSeconds(600));
    assertThat(left).hasSize(61 + 300);
    assertThat(left.get(0)).isEqualTo(seconds(120, 121).get(0));
    assertThat(store.keptFrom(OXYGEN)).contains(START.plusSeconds(300));
  }
}
