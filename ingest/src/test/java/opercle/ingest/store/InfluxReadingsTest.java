// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.awaitility.Awaitility.await;

import java.time.Duration;
import java.time.InstantSource;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import opercle.ingest.TestCertificate;
import opercle.ingest.store.InfluxSettings.Place;
import org.junit.jupiter.api.Test;

/** InfluxDB read alone, as a dashboard on another machine does. */
class InfluxReadingsTest extends InfluxContract {

  @Override
  protected ReadingStore emptyStore() throws Exception {
    emptyInflux();
    return ThroughSpool.open(influx.settings(), spoolFolder.resolve("spool.db"));
  }

  @Test
  void readingsThatInfluxDropped_areDrawnFromTheirMinutes() throws Exception {
    try (ReadingStore store = emptyStore()) {
      store.accept(IntStream.range(0, 240).mapToObj(s -> oxygen(s, s == 77 ? 2.5 : 8.0)).toList());
      // As a retention policy for the readings alone would.
      var unused =
          influx.query(
              LocalInflux.DATABASE,
              "DELETE FROM opercle_reading WHERE time < '%s'".formatted(START.plusSeconds(120)));

      List<Bucket> parts = store.buckets(OXYGEN, START, START.plusSeconds(240), 24);

      assertThat(store.range(OXYGEN, START, START.plusSeconds(240))).hasSize(120);
      assertThat(parts).hasSize(14);
      assertThat(parts).extracting(Bucket::count).startsWith(60L, 60L, 10L, 10L);
      assertThat(parts).extracting(Bucket::min).startsWith(8.0, 2.5, 8.0, 8.0);
      assertThat(parts.get(1).start()).isEqualTo(START.plus(1, ChronoUnit.MINUTES));
      // Uneven parts are gathered here, and know of the dip as well.
      assertThat(store.buckets(OXYGEN, START, START.plusSeconds(239).plusMillis(1), 7))
          .extracting(Bucket::min)
          .contains(2.5);
    }
  }

  @Test
  void retentionPolicy_isWrittenToAndReadFrom() throws Exception {
    emptyInflux();
    var unused =
        influx.query(
            "",
            "CREATE RETENTION POLICY long ON "
                + LocalInflux.DATABASE
                + " DURATION INF REPLICATION 1");
    InfluxSettings one = influx.settings();
    Place minutes = Place.of("opercle/long", "opercle/long");
    InfluxSettings apart =
        new InfluxSettings(
            one.url(), one.org(), one.readings(), minutes, one.token(), one.caFile());
    try (ReadingStore store = ThroughSpool.open(apart, spoolFolder.resolve("apart.db"))) {
      store.accept(List.of(oxygen(0, 8.0)));

      assertThat(store.buckets(OXYGEN, START, START.plusSeconds(60), 1)).hasSize(1);
      assertThat(influx.query(LocalInflux.DATABASE, "SELECT * FROM opercle.long.opercle_minute"))
          .contains("h1");
      assertThat(influx.points("opercle_minute")).as("in the default policy").isZero();
    }
  }

  @Test
  void encrypted_trustsTheCertificatesThatItIsGivenAndNoStrangers() throws Exception {
    TestCertificate certificate = TestCertificate.make(spoolFolder);
    try (LocalInflux encrypted = LocalInflux.start(spoolFolder, Optional.of(certificate))) {
      InfluxSettings strange = encrypted.settings();
      InfluxSettings trusted =
          new InfluxSettings(
              strange.url(),
              strange.org(),
              strange.readings(),
              strange.minutes(),
              strange.token(),
              Optional.of(certificate.certificate()));
      try (ReadingStore store = ThroughSpool.open(trusted, spoolFolder.resolve("tls.db"))) {
        store.accept(List.of(oxygen(0, 8.0)));
        assertThat(store.newest(OXYGEN)).contains(oxygen(0, 8.0));
      }
      assertThatThrownBy(() -> new InfluxReadings(strange).series())
          .isInstanceOf(StoreException.class)
          .hasMessageContaining("the encrypted connection failed");
      try (SpooledReadings store =
          SpooledReadings.open(
              strange,
              new SpooledReadings.Spool(
                  spoolFolder.resolve("strange.db"), Duration.ofDays(2), SpooledReadingsTest.ROOM),
              InstantSource.system())) {
        store.accept(List.of(oxygen(1, 8.0)));
        await().atMost(Duration.ofSeconds(30)).until(() -> store.state().away().isPresent());
        assertThat(store.state().away().orElseThrow()).contains("the encrypted connection failed");
      }
      assertThat(encrypted.points("opercle_reading")).isEqualTo(1);
    }
  }

  @Test
  void wrongToken_isSaidAndNotShown() {
    InfluxSettings one = influx.settings();
    InfluxSettings wrong =
        new InfluxSettings(
            one.url(),
            one.org(),
            one.readings(),
            one.minutes(),
            Optional.of("a-wrong-secret"),
            one.caFile());

    assertThat(wrong.toString()).doesNotContain("secret");
    assertThatThrownBy(() -> new InfluxReadings(wrong).series())
        .isInstanceOf(StoreException.class)
        .hasMessageContaining("401")
        .hasMessageContaining("unauthorized access")
        .hasMessageNotContaining("a-wrong-secret");
  }
}
