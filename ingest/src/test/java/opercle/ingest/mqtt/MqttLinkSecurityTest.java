// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.net.URI;
import java.nio.file.Path;
import java.time.Duration;
import java.util.concurrent.TimeUnit;
import opercle.ingest.TestCertificate;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class MqttLinkSecurityTest {

  private static final Duration PATIENCE = Duration.ofSeconds(30);

  @TempDir Path folder;

  @Test
  void encryptedLink_trustsTheCertificatesThatItIsGiven() throws Exception {
    Path certificate = makeCertificate();
    try (LocalMosquitto broker = encryptedBroker(certificate);
        MqttLink link = MqttLink.open(encrypted(broker).withCaCertificates(certificate))) {
      link.publish("t", "1".getBytes(UTF_8), 1, false).get(30, TimeUnit.SECONDS);

      assertThat(link.state().connected()).isTrue();
    }
  }

  @Test
  void encryptedLink_refusesAStrangersCertificate() throws Exception {
    Path certificate = makeCertificate();
    try (LocalMosquitto broker = encryptedBroker(certificate);
        MqttLink link = MqttLink.open(encrypted(broker))) {
      await().atMost(PATIENCE).until(() -> link.state().trouble().isPresent());

      assertThat(link.state().trouble().orElseThrow())
          .contains("the encrypted connection failed")
          .contains("nobody whom this machine trusts has signed the certificate there");
    }
  }

  @Test
  void caFileThatIsNotThere_isNamed() {
    MqttSettings settings =
        MqttSettings.of(URI.create("ssl://127.0.0.1:1"), "link")
            .withCaCertificates(folder.resolve("none.pem"));
    try (MqttLink link = MqttLink.open(settings)) {
      await().atMost(PATIENCE).until(() -> link.state().trouble().isPresent());

      assertThat(link.state().trouble().orElseThrow()).contains("none.pem");
    }
  }

  @Test
  void unknownUser_isToldInWordsWithoutThePassword() throws Exception {
    try (LocalMosquitto broker =
            LocalMosquitto.start(folder, LocalMosquitto.freePort(), "allow_anonymous false");
        MqttLink link =
            MqttLink.open(MqttSettings.of(broker.uri(), "link").withUser("keeper", "tench"))) {
      await().atMost(PATIENCE).until(() -> link.state().trouble().isPresent());

      assertThat(link.state().trouble().orElseThrow())
          .contains("user keeper")
          .containsAnyOf("not authorised", "wrong user name or password")
          .doesNotContain("tench");
    }
  }

  private static MqttSettings encrypted(TestBroker broker) {
    return MqttSettings.of(URI.create("ssl://127.0.0.1:" + broker.uri().getPort()), "link");
  }

  private LocalMosquitto encryptedBroker(Path certificate) throws IOException {
    return LocalMosquitto.start(
        folder,
        LocalMosquitto.freePort(),
        "certfile " + certificate,
        "keyfile " + folder.resolve("key.pem"));
  }

  private Path makeCertificate() throws Exception {
    return TestCertificate.make(folder).certificate();
  }
}
