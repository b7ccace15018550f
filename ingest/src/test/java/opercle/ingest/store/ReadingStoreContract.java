// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What every {@link ReadingStore} keeps to. Implementations only build the object. */
public abstract class ReadingStoreContract {

  protected static final Instant START = Instant.parse("2026-03-14T02:00:00Z");
  protected static final Series OXYGEN = new Series("h1", Quantity.OXYGEN, "1");

  private ReadingStore store;
  private boolean isOpen; // not where the test is skipped, for want of a server

  /** An empty store. */
  protected abstract ReadingStore emptyStore() throws Exception;

  @BeforeEach
  void openStore() throws Exception {
    store = emptyStore();
    isOpen = true;
  }

  @AfterEach
  void closeStore() {
    if (isOpen) {
      store.close();
    }
  }

  @Test
  void emptyStore_hasNothing() {
    assertThat(store.series()).isEmpty();
    assertThat(store.newest(OXYGEN)).isEmpty();
    assertThat(store.range(OXYGEN, START, START.plusSeconds(60))).isEmpty();
    assertThat(store.buckets(OXYGEN, START, START.plusSeconds(60), 6)).isEmpty();
  }

  @Test
  void acceptedReadings_comeBackInOrderOfTime() {
    store.accept(List.of(oxygen(2, 8.2), oxygen(0, 8.0)));
    store.accept(List.of(oxygen(1, 8.1)));

    assertThat(store.range(OXYGEN, START, START.plusSeconds(60)))
        .containsExactly(oxygen(0, 8.0), oxygen(1, 8.1), oxygen(2, 8.2));
  }

  @Test
  void range_includesItsStartAndNotItsEnd() {
    store.accept(List.of(oxygen(0, 8.0), oxygen(1, 8.1), oxygen(2, 8.2)));

    assertThat(store.range(OXYGEN, START, START.plusSeconds(2)))
        .containsExactly(oxygen(0, 8.0), oxygen(1, 8.1));
    assertThat(store.range(OXYGEN, START.plusNanos(1), START.plusSeconds(2)))
        .containsExactly(oxygen(1, 8.1));
  }

  @Test
  void sameBatchTwice_changesNothing() {
    List<Reading> batch = List.of(oxygen(0, 8.0), oxygen(1, 8.1));

    store.accept(batch);
    store.accept(batch);

    assertThat(store.range(OXYGEN, START, START.plusSeconds(60))).isEqualTo(batch);
  }

  @Test
  void secondValueForOneTime_leavesTheFirst() {
    store.accept(List.of(oxygen(0, 8.0), oxygen(0, 5.0)));
    store.accept(List.of(oxygen(0, 6.0)));

    assertThat(store.range(OXYGEN, START, START.plusSeconds(60))).containsExactly(oxygen(0, 8.0));
  }

  @Test
  void times_areCutToTheMillisecond() {
    store.accept(List.of(new Reading("h1", Quantity.OXYGEN, "1", START.plusNanos(1_999_999), 8.0)));

    assertThat(store.newest(OXYGEN).orElseThrow().time()).isEqualTo(START.plusMillis(1));
  }

  @Test
  void series_areKeptApartAndListedInOrder() {
    Series temperature = new Series("h1", Quantity.TEMPERATURE, "1");
    Series second = new Series("h1", Quantity.OXYGEN, "2");
    Series otherTank = new Series("a 'quoted' tank", Quantity.OXYGEN, "1");
    for (Series series : List.of(temperature, second, OXYGEN, otherTank)) {
      store.accept(
          List.of(new Reading(series.tank(), series.quantity(), series.probe(), START, 8.0)));
    }

    assertThat(store.series()).containsExactly(otherTank, OXYGEN, second, temperature);
    assertThat(store.range(second, START, START.plusSeconds(1))).hasSize(1);
  }

  @Test
  void newest_isByTimeAndNotByArrival() {
    store.accept(List.of(oxygen(5, 8.5)));
    store.accept(List.of(oxygen(3, 8.3)));

    assertThat(store.newest(OXYGEN)).contains(oxygen(5, 8.5));
  }

  @Test
  void buckets_neverHideADip() {
    List<Reading> night = new ArrayList<>();
    for (int second = 0; second < 3600; second++) {
      night.add(oxygen(second, second == 1234 ? 2.5 : 8.0));
    }
    store.accept(night);

    List<Bucket> buckets = store.buckets(OXYGEN, START, START.plusSeconds(3600), 6);

    assertThat(buckets).hasSize(6).allMatch(b -> b.count() == 600 && b.max() == 8.0);
    assertThat(buckets).extracting(Bucket::min).containsExactly(8.0, 8.0, 2.5, 8.0, 8.0, 8.0);
    assertThat(buckets.get(2).start()).isEqualTo(START.plusSeconds(1200));
    assertThat(buckets.get(2).end()).isEqualTo(START.plusSeconds(1800));
    assertThat(buckets.get(2).mean()).isCloseTo(8.0 - 5.5 / 600, within(1e-9));
  }

  @Test
  void buckets_withoutReadingsAreLeftOut() {
    store.accept(List.of(oxygen(0, 8.0), oxygen(59, 7.0)));

    assertThat(store.buckets(OXYGEN, START, START.plusSeconds(60), 6))
        .containsExactly(
            new Bucket(START, START.plusSeconds(10), 8.0, 8.0, 8.0, 1),
            new Bucket(START.plusSeconds(50), START.plusSeconds(60), 7.0, 7.0, 7.0, 1));
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 3_000, 20_000})
  void buckets_thatDoNotDivideEvenly_holdEveryReadingOnceAndInsideTheirBounds(int stepMs) {
    List<Reading> readings = new ArrayList<>();
    for (int i = 0; i < 100; i++) {
      Instant time = START.plusMillis((long) i * stepMs);
      readings.add(new Reading("h1", Quantity.OXYGEN, "1", time, i / 10.0));
    }
    store.accept(readings);

    List<Bucket> buckets = store.buckets(OXYGEN, START, START.plusMillis(100L * stepMs), 7);

    assertThat(buckets).hasSize(7);
    assertThat(buckets.stream().mapToLong(Bucket::count).sum()).isEqualTo(100);
    for (Bucket bucket : buckets) {
      assertThat(store.range(OXYGEN, bucket.start(), bucket.end()))
          .hasSize((int) bucket.count())
          .first()
          .extracting(Reading::value)
          .isEqualTo(bucket.min());
    }
  }

  @Test
  void buckets_ofNothing_areRefused() {
    assertThatIllegalArgumentException().isThrownBy(() -> store.buckets(OXYGEN, START, START, 1));
    assertThatIllegalArgumentException()
        .isThrownBy(() -> store.buckets(OXYGEN, START, START.plusSeconds(1), 0));
  }

  @Test
  void closedStore_refusesAndClosesAgainQuietly() {
    store.close();
    store.close();

    assertThatThrownBy(() -> store.accept(List.of(oxygen(0, 8.0))))
        .isInstanceOf(StoreException.class)
        .hasMessageContaining("closed");
  }

  protected static Reading oxygen(int second, double mgPerL) {
    return new Reading("h1", Quantity.OXYGEN, "1", START.plusSeconds(second), mgPerL);
  }
}
