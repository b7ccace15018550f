// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.security.GeneralSecurityException;
import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.Base64;
import java.util.Optional;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** A sender and a real push service on this machine. */
class PushSenderTest {

  private static final Instant NOW = Instant.parse("2026-03-14T02:11:07Z");

  private final PushKeys keys =
      PushKeys.fresh(Optional.of(URI.create("mailto:keeper@sallowmere.example")));
  private final PushSender sender = new PushSender(keys, EndpointRule.loopbackToo(), () -> NOW);
  private final FakeDevice device = new FakeDevice();
  private FakePushService service;

  @BeforeEach
  void open() throws IOException {
    service = new FakePushService();
  }

  @AfterEach
  void close() {
    service.close();
  }

  @Test
  void notice_arrivesSigned_andOnlyTheDeviceReadsIt() throws GeneralSecurityException, IOException {
    PushOutcome outcome = send("{\"tank\":\"h2\"}");

    assertThat(outcome).isEqualTo(new PushOutcome.Taken());
    FakePushService.Received received = service.received().get(0);
    assertThat(received.path()).isEqualTo("/send/phone");
    assertThat(received.header("TTL")).isEqualTo("900");
    assertThat(received.header("Urgency")).isEqualTo("high");
    assertThat(received.header("Content-Encoding")).isEqualTo("aes128gcm");
    assertThat(received.header("Topic")).matches("[A-Za-z0-9_-]{32}");
    assertThat(received.header("Authorization")).endsWith(", k=" + keys.publicKey());
    assertThat(received.claims().path("aud").asText() + "/send/phone")
        .isEqualTo(service.endpoint("phone"));
    assertThat(Instant.ofEpochSecond(received.claims().path("exp").asLong()))
        .isCloseTo(
            Instant.now().plus(Duration.ofHours(12)), within(1, ChronoUnit.HOURS)); // real time
    assertThat(received.claims().path("sub").asText())
        .isEqualTo("mailto:keeper@sallowmere.example");
    assertThat(new String(received.body(), StandardCharsets.ISO_8859_1)).doesNotContain("tank");
    assertThat(device.read(received.body())).isEqualTo("{\"tank\":\"h2\"}");
  }

  @ParameterizedTest
  @ValueSource(ints = {404, 410})
  void endedSubscription_isGone(int status) {
    service.answer(status);

    assertThat(send("x")).isEqualTo(new PushOutcome.Gone());
  }

  @ParameterizedTest
  @CsvSource({
    "7, 7",
    "'Sat, 14 Mar 2026 02:12:07 GMT', 60",
    "'Sat, 14 Mar 2026 02:00:00 GMT', 0",
    "999999, 3600",
    "99999999999999999999, 60",
    "soon, 60",
    "'', 60"
  })
  void tooManyMessages_areToWait_asLongAsTheServiceAsks(String retryAfter, long seconds) {
    service.answer(429, retryAfter);

    assertThat(send("x")).isEqualTo(new PushOutcome.Later(Duration.ofSeconds(seconds)));
  }

  @ParameterizedTest
  @CsvSource({"413, too large", "403, our key", "400, refused it (400)", "302, refused it (302)"})
  void refusal_isSaid_andNoRedirectIsFollowed(int status, String words) {
    service.answer(status);

    assertThat(send("x"))
        .isInstanceOfSatisfying(
            PushOutcome.Refused.class, refused -> assertThat(refused.why()).contains(words));
    assertThat(service.received()).hasSize(1);
  }

  @Test
  void faultOrNobodyThere_isUnreached_andMayBeTriedAgain() {
    service.answer(500);
    assertThat(send("x")).isInstanceOf(PushOutcome.Unreached.class);

    service.close();
    assertThat(send("x"))
        .isInstanceOfSatisfying(
            PushOutcome.Unreached.class,
            unreached -> assertThat(unreached.why()).contains("127.0.0.1"));
  }

  @Test
  void noticeTooLarge_isRefused_beforeItIsSent() {
    assertThat(send("x".repeat(3994)))
        .isInstanceOfSatisfying(
            PushOutcome.Refused.class,
            refused -> assertThat(refused.why()).contains("3994", "3993"));
    assertThat(service.received()).isEmpty();
  }

  @Test
  void deviceWhoseKeyIsOfNoUse_isRefused_andNothingIsSent() {
    PushSubscription phone = device.at(service.endpoint("phone"));
    byte[] off = phone.keyBytes();
    off[40] ^= 1;
    var broken =
        new PushSubscription(
            phone.endpoint(),
            Base64.getUrlEncoder().encodeToString(off),
            phone.auth(),
            phone.person(),
            phone.since());

    PushOutcome outcome =
        sender.send(broken, new byte[1], Urgency.HIGH, Duration.ofMinutes(15), Optional.empty());

    assertThat(outcome).isInstanceOf(PushOutcome.Refused.class);
    assertThat(service.received()).isEmpty();
  }

  /** Every signature has its two numbers at full length, whatever they begin with. */
  @Test
  void token_withoutAContact_isSignedEveryTime_andNamesNobody()
      throws GeneralSecurityException, IOException {
    var nobody =
        new PushSender(PushKeys.fresh(Optional.empty()), EndpointRule.loopbackToo(), () -> NOW);
    for (int i = 0; i < 200; i++) {
      nobody.send(
          device.at(service.endpoint("phone")),
          new byte[1],
          Urgency.NORMAL,
          Duration.ofMinutes(15),
          Optional.empty());
    }

    assertThat(service.received()).hasSize(200);
    for (FakePushService.Received received : service.received()) {
      assertThat(received.claims().path("sub").asText()).isEqualTo("https://opercle.invalid");
    }
  }

  @Test
  void endpointOfOurOwnNetwork_isNeverCalled() {
    var strict = new PushSender(keys, EndpointRule.publicOnly(), () -> NOW);

    PushOutcome outcome =
        strict.send(
            device.at(service.endpoint("phone")),
            new byte[1],
            Urgency.HIGH,
            Duration.ofMinutes(15),
            Optional.empty());

    assertThat(outcome).isInstanceOf(PushOutcome.Refused.class);
    assertThat(service.received()).isEmpty();
  }

  private PushOutcome send(String payload) {
    return sender.send(
        device.at(service.endpoint("phone")),
        payload.getBytes(StandardCharsets.UTF_8),
        Urgency.HIGH,
        Duration.ofMinutes(15),
        Optional.of("h2/gas-line-stopped/2026-03-14T02:11:07Z"));
  }
}
