// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.io.InputStream;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.time.Duration;
import java.util.Base64;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class MqttLinkSecurityTest {

  private static final Duration PATIENCE = Duration.ofSeconds(30);
  private static final String STORE_PASSWORD = "changeit";

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
          .contains("unable to find valid certification path");
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

  /** A certificate for 127.0.0.1 that signs itself, and its key, both as PEM files. */
  private Path makeCertificate() throws Exception {
    Path store = folder.resolve("broker.p12");
    Process keytool =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "keytool").toString(),
                "-genkeypair",
                "-alias",
                "broker",
                "-keyalg",
                "EC",
                "-storetype",
                "PKCS12",
                "-storepass",
                STORE_PASSWORD,
                "-dname",
                "CN=127.0.0.1",
                "-ext",
                "san=ip:127.0.0.1",
                "-keystore",
                store.toString())
            .redirectErrorStream(true)
            .redirectOutput(folder.resolve("keytool.log").toFile())
            .start();
    assertThat(keytool.waitFor(60, TimeUnit.SECONDS)).isTrue();
    return writePem(store);
  }

  private Path writePem(Path store) throws IOException, GeneralSecurityException {
    KeyStore keys = KeyStore.getInstance("PKCS12");
    try (InputStream in = Files.newInputStream(store)) {
      keys.load(in, STORE_PASSWORD.toCharArray());
    }
    byte[] key = keys.getKey("broker", STORE_PASSWORD.toCharArray()).getEncoded();
    byte[] certificate = keys.getCertificate("broker").getEncoded();
    Files.writeString(folder.resolve("key.pem"), pem("PRIVATE KEY", key));
    return Files.writeString(folder.resolve("certificate.pem"), pem("CERTIFICATE", certificate));
  }

  private static String pem(String kind, byte[] bytes) {
    return "-----BEGIN %s-----%n%s%n-----END %s-----%n"
        .formatted(kind, Base64.getMimeEncoder().encodeToString(bytes), kind);
  }
}
