// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.settings;

import java.security.cert.CertPathBuilderException;
import java.security.cert.CertPathValidatorException;
import java.security.cert.CertificateException;
import java.security.cert.CertificateExpiredException;
import java.security.cert.CertificateNotYetValidException;
import org.jspecify.annotations.Nullable;

/** Why an encrypted connection failed, for a person; the library's own words belong in the log. */
public final class TlsWords {

  private static final int DEEPEST = 10;

  private TlsWords() {}

  /** One clause, without a full stop. */
  public static String why(Throwable failure) {
    return "the encrypted connection failed: " + reason(failure);
  }

  private static String reason(Throwable failure) {
    String reason = "the two sides do not agree; the log says more";
    @Nullable Throwable cause = failure;
    for (int i = 0; cause != null && i < DEEPEST; i++) {
      if (cause instanceof CertificateExpiredException) {
        return "the certificate there has run out";
      }
      if (cause instanceof CertificateNotYetValidException) {
        return "the certificate there is not valid yet; are the clocks right?";
      }
      if (cause instanceof CertPathBuilderException
          || cause instanceof CertPathValidatorException) {
        reason = "nobody whom this machine trusts has signed the certificate there";
      } else if (cause.getClass() == CertificateException.class) {
        return "the certificate there is for another name";
      }
      cause = cause.getCause();
    }
    return reason;
  }
}
