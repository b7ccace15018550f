// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.security.cert.Certificate;
import java.security.cert.CertificateFactory;
import java.util.Collection;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLSocketFactory;
import javax.net.ssl.TrustManagerFactory;

/** Trust in the certificates of one PEM file, and in no other. */
final class TrustedCertificates {

  private TrustedCertificates() {}

  /**
   * @throws MqttLinkException if the file cannot be read or holds no certificate
   */
  static SSLSocketFactory socketFactory(Path pem) {
    try (InputStream in = Files.newInputStream(pem)) {
      Collection<? extends Certificate> certificates =
          CertificateFactory.getInstance("X.509").generateCertificates(in);
      if (certificates.isEmpty()) {
        throw new MqttLinkException("%s holds no certificate".formatted(pem));
      }
      KeyStore trusted = KeyStore.getInstance(KeyStore.getDefaultType());
      trusted.load(null, null);
      int number = 0;
      for (Certificate certificate : certificates) {
        trusted.setCertificateEntry("ca" + number++, certificate);
      }
      TrustManagerFactory trust =
          TrustManagerFactory.getInstance(TrustManagerFactory.getDefaultAlgorithm());
      trust.init(trusted);
      SSLContext context = SSLContext.getInstance("TLS");
      context.init(null, trust.getTrustManagers(), null);
      return context.getSocketFactory();
    } catch (IOException | GeneralSecurityException e) {
      throw new MqttLinkException(
          "cannot read the CA certificates in %s: %s".formatted(pem, e.getMessage()), e);
    }
  }
}
