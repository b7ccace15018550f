// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.time.Duration;
import java.time.Instant;
import java.util.Base64;
import java.util.Optional;
import opercle.analysis.book.BookPlace;
import opercle.analysis.book.FarmBook;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The desk over a real book and a real push service on this machine. */
class PushDeskTest {

  private static final Instant NOW = Instant.parse("2026-03-14T02:11:07.123456Z");
  private static final PushNotice GAS_LOST =
      new PushNotice(
          "Holding 2: gas has stopped",
          "About 31 min in hand. Check blower.",
          "h2/gas-line-stopped/1",
          "/tank/h2",
          NOW,
          true,
          true);

  @TempDir private Path folder;
  private BookPlace place;
  private final FakeDevice device = new FakeDevice();
  private FarmBook book;
  private FakePushService service;
  private PushDesk desk;

  BookPlace place() {
    return BookPlace.in(folder);
  }

  @BeforeEach
  void open() throws IOException {
    place = place();
    service = new FakePushService();
    book = FarmBook.open(place);
    desk = deskOf(book);
  }

  @AfterEach
  void close() {
    service.close();
    book.close();
  }

  @Test
  void device_staysSubscribed_overARestart() {
    PushSubscription phone = subscribe("phone");
    book.close();
    book = FarmBook.open(place);

    desk = deskOf(book);

    assertThat(desk.devices()).containsExactly(phone);
    assertThat(desk.devicesOf(" maren ")).containsExactly(phone);
    assertThat(desk.devicesOf("Joss")).isEmpty();
    assertThat(desk.knows(phone.endpoint())).isTrue();
  }

  @Test
  void deviceThatAsksTwice_isCalledOnce_byItsNewName() {
    subscribe("phone");
    PushSubscription again = device.at(service.endpoint("phone"));
    desk.subscribe(again.endpoint().toString(), again.p256dh(), again.auth(), "Joss");

    assertThat(desk.devices()).hasSize(1);
    assertThat(desk.devicesOf("Joss")).hasSize(1);
  }

  @Test
  void deviceThatItsServiceHasDropped_isForgotten() {
    PushSubscription phone = subscribe("phone");
    PushSubscription desktop = subscribe("desktop");
    service.answer(410);

    PushOutcome outcome = desk.send(phone, GAS_LOST, Urgency.HIGH, Duration.ofMinutes(15));

    assertThat(outcome).isEqualTo(new PushOutcome.Gone());
    assertThat(desk.devices()).containsExactly(desktop);
  }

  @Test
  void deviceThatIsGone_whileTheBookTakesNothing_keepsNobodyFromBeingCalled() {
    PushSubscription phone = subscribe("phone");
    book.close();
    service.answer(410);

    assertThat(desk.send(phone, GAS_LOST, Urgency.HIGH, Duration.ofMinutes(15)))
        .isEqualTo(new PushOutcome.Gone());
  }

  @Test
  void bookThatCannotBeRead_leavesTheDevicesKnown() throws IOException {
    PushSubscription phone = subscribe("phone");
    book.close();
    Files.deleteIfExists(FarmBook.fileIn(folder));

    assertThat(desk.devicesOf("Maren")).containsExactly(phone);
  }

  @Test
  void deviceThatCannotBeReachedNow_isKept() {
    PushSubscription phone = subscribe("phone");
    service.answer(429, "30");

    assertThat(desk.send(phone, GAS_LOST, Urgency.HIGH, Duration.ofMinutes(15)))
        .isEqualTo(new PushOutcome.Later(Duration.ofSeconds(30)));
    assertThat(desk.knows(phone.endpoint())).isTrue();
  }

  @Test
  void notice_isReadOnTheDevice_asItWasMeant() throws GeneralSecurityException, IOException {
    desk.send(subscribe("phone"), GAS_LOST, Urgency.HIGH, Duration.ofMinutes(15));

    JsonNode read = new ObjectMapper().readTree(device.read(service.received().get(0).body()));
    assertThat(read.path("title").asText()).isEqualTo("Holding 2: gas has stopped");
    assertThat(read.path("body").asText()).isEqualTo("About 31 min in hand. Check blower.");
    assertThat(read.path("tag").asText()).isEqualTo("h2/gas-line-stopped/1");
    assertThat(read.path("path").asText()).isEqualTo("/tank/h2");
    assertThat(read.path("high").asBoolean()).isTrue();
  }

  @Test
  void test_saysThatItIsOne_andOnlyKnownDevicesGetIt() throws GeneralSecurityException {
    PushSubscription phone = subscribe("phone");

    assertThat(desk.test(phone.endpoint())).contains(new PushOutcome.Taken());
    assertThat(device.read(service.received().get(0).body())).contains("Test: nothing is wrong");

    desk.unsubscribe(phone.endpoint());
    assertThat(desk.test(phone.endpoint())).isEmpty();
    assertThat(service.received()).hasSize(1);
  }

  @Test
  void noticeOfAnyLength_fitsAMessage() {
    var notice = new PushNotice("🐟".repeat(1000), "🐟".repeat(1000), "t", "/", NOW, true, true);

    assertThat(notice.json()).hasSizeLessThan(PushSender.MOST_BYTES);
    assertThat(notice.title()).endsWith("🐟…");
  }

  @Test
  void noticeThatWouldOpenAnotherSite_isNotMade() {
    assertThatThrownBy(() -> new PushNotice("t", "b", "o", "//elsewhere.example", NOW, true, true))
        .hasMessageContaining("//elsewhere.example");
  }

  @Test
  void endpointOfAnotherKind_isRefused_andNotKept() {
    PushSubscription phone = device.at(service.endpoint("phone"));

    assertThatThrownBy(
            () -> desk.subscribe("https://10.0.0.1/x", phone.p256dh(), phone.auth(), "Maren"))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageStartingWith("endpoint: ");
    assertThat(desk.devices()).isEmpty();
  }

  @Test
  void deviceWithAKeyOffTheCurve_isRefused_andNotKept() {
    PushSubscription phone = device.at(service.endpoint("phone"));
    byte[] off = phone.keyBytes();
    off[40] ^= 1;
    String key = Base64.getUrlEncoder().withoutPadding().encodeToString(off);

    assertThatThrownBy(() -> desk.subscribe(service.endpoint("phone"), key, phone.auth(), "Maren"))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("keys.p256dh: a public key must be a point of the curve P-256.");
    assertThat(desk.devices()).isEmpty();
  }

  @Test
  void devices_areLimited() {
    for (int i = 0; i < PushDesk.MOST_DEVICES; i++) {
      subscribe("device-" + i);
    }

    assertThatThrownBy(() -> subscribe("one-more")).hasMessageContaining("100 devices");
    subscribe("device-0"); // one that is called already may ask again
  }

  private PushSubscription subscribe(String name) {
    PushSubscription asked = device.at(service.endpoint(name));
    desk.subscribe(asked.endpoint().toString(), asked.p256dh(), asked.auth(), "Maren");
    return desk.devices().stream()
        .filter(one -> one.endpoint().equals(URI.create(service.endpoint(name))))
        .findFirst()
        .orElseThrow();
  }

  private static PushDesk deskOf(FarmBook book) {
    return new PushDesk(
        "Sallowmere",
        PushKeys.fresh(Optional.empty()),
        EndpointRule.loopbackToo(),
        new BookedSubscriptions(book),
        () -> NOW);
  }
}
