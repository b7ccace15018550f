// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.io.IOException;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import javax.net.ssl.SSLSocketFactory;
import opercle.ingest.settings.PemTrust;

/** Trust in the certificates of one PEM file, and in no other. */
final class TrustedCertificates {

  private TrustedCertificates() {}

  /**
   * @throws MqttLinkException if the file cannot be read or holds no certificate
   */
  static SSLSocketFactory socketFactory(Path pem) {
    try {
      return PemTrust.in(pem).context().getSocketFactory();
    } catch (IOException | GeneralSecurityException e) {
      throw new MqttLinkException(
          "cannot read the CA certificates in %s: %s".formatted(pem, e.getMessage()), e);
    }
  }
}
