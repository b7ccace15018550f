// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import io.netty.handler.ssl.JdkSslContext;
import io.netty.handler.ssl.SslContextBuilder;
import io.netty.handler.ssl.SslProvider;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.util.List;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLException;

/**
 * The certificate of the pages, as two files of PEM (RFC 7468).
 *
 * @param certificates the server's first, then those that lead to a root
 * @param key its private key, PKCS #8 without a password
 */
public record TlsFiles(Path certificates, Path key) {

  /**
   * Reads both.
   *
   * @throws IllegalArgumentException if they cannot be used, with the reason
   */
  public SSLContext read() {
    try {
      var context =
          SslContextBuilder.forServer(certificates.toFile(), key.toFile())
              .sslProvider(SslProvider.JDK)
              .build();
      return ((JdkSslContext) context).context();
    } catch (SSLException | IllegalArgumentException e) {
      Throwable cause = e.getCause() == null ? e : e.getCause();
      throw new IllegalArgumentException(
          "%s and %s cannot be used together: %s. The key must be PKCS #8 (BEGIN PRIVATE KEY), without a password"
              .formatted(certificates, key, cause.getMessage()),
          e);
    }
  }

  /** When they were written last; another answer means that they are new. */
  List<FileTime> written() throws IOException {
    return List.of(Files.getLastModifiedTime(certificates), Files.getLastModifiedTime(key));
  }
}
