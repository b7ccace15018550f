// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.settings;

import static org.assertj.core.api.Assertions.assertThat;

import java.security.cert.CertPathBuilderException;
import java.security.cert.CertPathValidatorException;
import java.security.cert.CertificateException;
import java.security.cert.CertificateExpiredException;
import javax.net.ssl.SSLHandshakeException;
import org.junit.jupiter.api.Test;

class TlsWordsTest {

  private static String why(Exception cause) {
    SSLHandshakeException failure =
        new SSLHandshakeException("PKIX path building failed: sun.security.provider");
    failure.initCause(cause);
    return TlsWords.why(failure);
  }

  @Test
  void reason_isSaidInPlainWords_andTheLibrarysAreLeftOut() {
    assertThat(why(new CertPathBuilderException("unable to find valid certification path")))
        .isEqualTo(
            "the encrypted connection failed: nobody whom this machine trusts has signed the"
                + " certificate there");
    assertThat(
            why(
                new CertPathValidatorException(
                    "validity check failed", new CertificateExpiredException("NotAfter: 1 May"))))
        .endsWith(": the certificate there has run out");
    assertThat(why(new CertificateException("No subject alternative names matching")))
        .endsWith(": the certificate there is for another name");
    assertThat(why(new IllegalStateException("handshake_failure")))
        .endsWith(": the two sides do not agree; the log says more");
  }
}
