// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.io.InterruptedIOException;
import java.net.ConnectException;
import java.net.UnknownHostException;
import java.net.http.HttpTimeoutException;
import javax.net.ssl.SSLException;
import opercle.ingest.settings.TlsWords;
import org.jspecify.annotations.Nullable;

/** Says in plain words why InfluxDB was not reached. */
final class InfluxWords {

  private static final int DEEPEST = 10;

  private InfluxWords() {}

  static String of(Throwable failure) {
    @Nullable Throwable cause = failure;
    for (int i = 0; cause != null && i < DEEPEST; i++) {
      if (cause instanceof UnknownHostException) {
        return "its name is not known to this machine's network";
      }
      if (cause instanceof SSLException) {
        return TlsWords.why(cause);
      }
      if (cause instanceof InterruptedIOException || cause instanceof HttpTimeoutException) {
        return "no answer in time";
      }
      if (cause instanceof ConnectException) {
        return "nothing answers there";
      }
      cause = cause.getCause();
    }
    return "the connection broke off";
  }
}
