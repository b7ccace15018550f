// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.settings;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.security.cert.Certificate;
import java.security.cert.CertificateFactory;
import java.util.Arrays;
import java.util.Collection;
import javax.net.ssl.SSLContext;
import javax.net.ssl.TrustManager;
import javax.net.ssl.TrustManagerFactory;
import javax.net.ssl.X509TrustManager;

/**
 * Trust in the certificates of one PEM file, and in no other.
 *
 * @param manager decides whom to trust
 * @param context for connections that do
 */
public record PemTrust(X509TrustManager manager, SSLContext context) {

  /**
   * Reads the file.
   *
   * @throws IOException if the file cannot be read
   * @throws GeneralSecurityException if it holds no certificate, or none that can be used
   */
  public static PemTrust in(Path pem) throws IOException, GeneralSecurityException {
    KeyStore trusted = KeyStore.getInstance(KeyStore.getDefaultType());
    trusted.load(null, null);
    try (InputStream in = Files.newInputStream(pem)) {
      Collection<? extends Certificate> certificates =
          CertificateFactory.getInstance("X.509").generateCertificates(in);
      if (certificates.isEmpty()) {
        throw new GeneralSecurityException("it holds no certificate");
      }
      int number = 0;
      for (Certificate certificate : certificates) {
        trusted.setCertificateEntry("ca" + number++, certificate);
      }
    }
    TrustManagerFactory trust =
        TrustManagerFactory.getInstance(TrustManagerFactory.getDefaultAlgorithm());
    trust.init(trusted);
    TrustManager[] managers = trust.getTrustManagers();
    SSLContext context = SSLContext.getInstance("TLS");
    context.init(null, managers, null);
    X509TrustManager manager =
        Arrays.stream(managers)
            .filter(X509TrustManager.class::isInstance)
            .map(X509TrustManager.class::cast)
            .findFirst()
            .orElseThrow(() -> new GeneralSecurityException("there is no X.509 trust manager"));
    return new PemTrust(manager, context);
  }
}
