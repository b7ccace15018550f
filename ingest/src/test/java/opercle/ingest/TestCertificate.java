// SPDX-License-Identifier: Apache-2.0
package opercle.ingest;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.util.Base64;
import java.util.concurrent.TimeUnit;

/**
 * A certificate for 127.0.0.1 that signs itself, for tests.
 *
 * @param certificate PEM
 * @param key its private key, PEM
 */
public record TestCertificate(Path certificate, Path key) {

  private static final String STORE_PASSWORD = "changeit";

  /** Makes one with the JDK's keytool. */
  public static TestCertificate make(Path folder)
      throws IOException, GeneralSecurityException, InterruptedException {
    Path store = folder.resolve("server.p12");
    Process keytool =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "keytool").toString(),
                "-genkeypair",
                "-alias",
                "server",
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
    if (!keytool.waitFor(60, TimeUnit.SECONDS)) {
      keytool.destroyForcibly();
      throw new IOException("keytool does not end");
    }
    KeyStore keys = KeyStore.getInstance("PKCS12");
    try (InputStream in = Files.newInputStream(store)) {
      keys.load(in, STORE_PASSWORD.toCharArray());
    }
    byte[] key = keys.getKey("server", STORE_PASSWORD.toCharArray()).getEncoded();
    byte[] certificate = keys.getCertificate("server").getEncoded();
    return new TestCertificate(
        Files.writeString(folder.resolve("certificate.pem"), pem("CERTIFICATE", certificate)),
        Files.writeString(folder.resolve("key.pem"), pem("PRIVATE KEY", key)));
  }

  private static String pem(String kind, byte[] bytes) {
    return "-----BEGIN %s-----%n%s%n-----END %s-----%n"
        .formatted(kind, Base64.getMimeEncoder().encodeToString(bytes), kind);
  }
}
