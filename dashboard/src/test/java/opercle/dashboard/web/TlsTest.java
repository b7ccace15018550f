// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.InputStream;
import java.net.InetAddress;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.security.KeyStore;
import java.security.cert.Certificate;
import java.security.cert.X509Certificate;
import java.time.Instant;
import java.util.Base64;
import java.util.concurrent.TimeUnit;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLSocket;
import javax.net.ssl.TrustManagerFactory;
import org.eclipse.jetty.util.ssl.SslContextFactory;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The pages with a certificate from files of PEM. */
class TlsTest {

  @TempDir Path folder;

  @Test
  void pages_areServedWithTheCertificateOfTheFiles_andSayThatHttpsStays() throws Exception {
    KeyStore made = made("first");
    TlsFiles files = written(made);
    try (GuardedFarm guarded = GuardedFarm.in(folder, files);
        SSLSocket socket = connected(made, guarded.server.port())) {
      socket
          .getOutputStream()
          .write(
              "GET /login HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"
                  .getBytes(UTF_8));
      String answer = new String(socket.getInputStream().readAllBytes(), UTF_8);

      assertThat(answer)
          .startsWith("HTTP/1.1 200")
          .contains("Strict-Transport-Security: max-age=31536000");
      assertThat(socket.getSession().getProtocol()).isIn("TLSv1.3", "TLSv1.2");
    }
  }

  @Test
  void certificateThatIsWrittenAnew_isTaken_andHalfOfOneIsNot() throws Exception {
    TlsFiles files = written(made("first"));
    var factory = new SslContextFactory.Server();
    factory.setSslContext(files.read());
    factory.start();
    var fresh = new FreshCertificate(files, factory);
    fresh.start();
    try {
      SSLContext first = factory.getSslContext();
      fresh.look();
      assertThat(factory.getSslContext()).isSameAs(first);

      Files.writeString(files.certificates(), "half of it");
      Files.setLastModifiedTime(files.certificates(), FileTime.from(Instant.EPOCH));
      fresh.look();
      assertThat(factory.getSslContext()).isSameAs(first);

      var unused = written(made("second"));
      fresh.look();
      assertThat(factory.getSslContext()).isNotSameAs(first);
    } finally {
      fresh.stop();
      factory.stop();
    }
  }

  @Test
  void filesThatCannotBeUsed_areNamed() throws Exception {
    TlsFiles files = new TlsFiles(folder.resolve("none.pem"), folder.resolve("key.pem"));

    assertThatThrownBy(files::read)
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("none.pem")
        .hasMessageContaining("PKCS #8");
  }

  private SSLSocket connected(KeyStore trusted, int port) throws Exception {
    var trust = TrustManagerFactory.getInstance(TrustManagerFactory.getDefaultAlgorithm());
    KeyStore store = KeyStore.getInstance("PKCS12");
    store.load(null, null);
    store.setCertificateEntry("it", trusted.getCertificate("it"));
    trust.init(store);
    SSLContext context = SSLContext.getInstance("TLS");
    context.init(null, trust.getTrustManagers(), null);
    var socket =
        (SSLSocket) context.getSocketFactory().createSocket(InetAddress.getLoopbackAddress(), port);
    socket.setSoTimeout(20_000);
    socket.startHandshake();
    Certificate seen = socket.getSession().getPeerCertificates()[0];
    assertThat(((X509Certificate) seen).getSubjectX500Principal().getName()).contains("CN=first");
    return socket;
  }

  private TlsFiles written(KeyStore store) throws Exception {
    Path certificate = folder.resolve("certificate.pem");
    Path key = folder.resolve("key.pem");
    Files.writeString(certificate, pem("CERTIFICATE", store.getCertificate("it").getEncoded()));
    Files.writeString(
        key, pem("PRIVATE KEY", store.getKey("it", "changeit".toCharArray()).getEncoded()));
    return new TlsFiles(certificate, key);
  }

  private static String pem(String what, byte[] bytes) {
    return "-----BEGIN %s-----\n%s\n-----END %s-----\n"
        .formatted(what, Base64.getMimeEncoder().encodeToString(bytes), what);
  }

  private KeyStore made(String name) throws Exception {
    Path file = folder.resolve(name + ".p12");
    Process keytool =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "keytool").toString(),
                "-genkeypair",
                "-alias",
                "it",
                "-keyalg",
                "EC",
                "-dname",
                "CN=" + name,
                "-validity",
                "2",
                "-storetype",
                "PKCS12",
                "-storepass",
                "changeit",
                "-ext",
                "san=dns:localhost,ip:127.0.0.1",
                "-keystore",
                file.toString())
            .redirectErrorStream(true)
            .redirectOutput(folder.resolve("keytool.log").toFile())
            .start();
    assertThat(keytool.waitFor(60, TimeUnit.SECONDS)).isTrue();
    KeyStore store = KeyStore.getInstance("PKCS12");
    try (InputStream in = Files.newInputStream(file)) {
      store.load(in, "changeit".toCharArray());
    }
    return store;
  }
}
