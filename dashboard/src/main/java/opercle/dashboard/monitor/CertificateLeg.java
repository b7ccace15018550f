// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.URI;
import java.security.GeneralSecurityException;
import java.security.cert.Certificate;
import java.security.cert.X509Certificate;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.Executor;
import java.util.concurrent.ForkJoinPool;
import java.util.concurrent.TimeUnit;
import java.util.function.Supplier;
import javax.net.ssl.SNIHostName;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLParameters;
import javax.net.ssl.SSLSocket;
import javax.net.ssl.X509TrustManager;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * How many days a server's certificate has left, asked every six hours by a handshake of its own,
 * and after one that failed in ten minutes. Nothing is sent over that connection, so that it may
 * look at a certificate that it does not trust. A server that is not reached is somebody else's
 * trouble.
 *
 * <p>For one thread; the handshake runs elsewhere.
 */
public final class CertificateLeg implements Leg {

  /** So many days before its end it is told (common practice). */
  static final long TOLD_DAYS = 14;

  /** And again with so many left (common practice). */
  static final long LAST_DAYS = 3;

  private static final Logger log = LoggerFactory.getLogger(CertificateLeg.class);
  private static final long EVERY_NANOS = TimeUnit.HOURS.toNanos(6);
  private static final long AGAIN_NANOS = TimeUnit.MINUTES.toNanos(10);
  private static final int HTTPS_PORT = 443;
  private static final int PATIENCE_MILLIS = 10_000;

  private final String whose;
  private final InstantSource wall;
  private final Supplier<Optional<Instant>> server;
  private final Executor elsewhere;
  private @Nullable CompletableFuture<Optional<Instant>> asking;
  private long askedAt;
  private long wait = EVERY_NANOS;
  private Optional<Instant> end = Optional.empty();

  /**
   * Looks at a server.
   *
   * @param whose what to call it, for instance {@code broker}
   * @param server its address; without a port that of {@code https}
   */
  public CertificateLeg(String whose, URI server, InstantSource wall) {
    this(whose, wall, () -> ask(whose, server), ForkJoinPool.commonPool());
  }

  /**
   * The same, asking another way.
   *
   * @param server asks when its certificate ends; empty if it is not reached
   */
  CertificateLeg(
      String whose, InstantSource wall, Supplier<Optional<Instant>> server, Executor elsewhere) {
    this.whose = whose;
    this.wall = wall;
    this.server = server;
    this.elsewhere = elsewhere;
  }

  @Override
  public String what() {
    return "the certificate of " + owner();
  }

  @Override
  public Map<TroubleKey, String> look(long steadyNanos) {
    if (asking == null || steadyNanos - askedAt >= wait) {
      askedAt = steadyNanos;
      wait = EVERY_NANOS;
      asking = CompletableFuture.supplyAsync(server, elsewhere).exceptionally(this::notAsked);
    } else if (asking.isDone()) {
      Optional<Instant> answer = asking.join();
      end = answer.isPresent() ? answer : end;
      wait = answer.isPresent() ? EVERY_NANOS : AGAIN_NANOS;
    }
    return end.flatMap(this::words).map(words -> Map.of(key(), words)).orElse(Map.of());
  }

  /** Told anew when little time is left and when none is: a trouble is told but once. */
  private TroubleKey key() {
    Duration left = Duration.between(wall.instant(), end.orElseThrow());
    String stage = left.isNegative() ? " over" : left.toDays() < LAST_DAYS ? " soon" : "";
    return TroubleKey.of(TroubleKind.CERTIFICATE_ENDS, whose + stage);
  }

  /** A fault in asking is like a server that is not reached: it is asked again soon. */
  private Optional<Instant> notAsked(Throwable fault) {
    log.error("the certificate of the {} cannot be asked for", whose, fault);
    return Optional.empty();
  }

  private String owner() {
    return whose.equals("broker") ? "the hub that probes send to" : "these pages";
  }

  private Optional<String> words(Instant notAfter) {
    Duration left = Duration.between(wall.instant(), notAfter);
    if (left.toDays() >= TOLD_DAYS) {
      return Optional.empty();
    }
    return Optional.of(
        left.isNegative()
            ? "The certificate of %s ended on %s: nobody trusts it."
                .formatted(owner(), TimeWords.of(notAfter))
            : "The certificate of %s ends in %d days, on %s."
                .formatted(owner(), left.toDays(), TimeWords.of(notAfter)));
  }

  private static Optional<Instant> ask(String whose, URI server) {
    try {
      SSLContext context = SSLContext.getInstance("TLS");
      context.init(null, new X509TrustManager[] {new LooksOnly()}, null);
      try (Socket plain = new Socket()) {
        plain.connect(new InetSocketAddress(server.getHost(), port(server)), PATIENCE_MILLIS);
        plain.setSoTimeout(PATIENCE_MILLIS);
        try (SSLSocket socket =
            (SSLSocket)
                context
                    .getSocketFactory()
                    .createSocket(plain, server.getHost(), port(server), true)) {
          named(socket, server);
          socket.startHandshake();
          return endOf(socket.getSession().getPeerCertificates());
        }
      }
    } catch (IOException | GeneralSecurityException e) {
      log.debug("the certificate of the {} cannot be looked at", whose, e);
      return Optional.empty();
    }
  }

  private static int port(URI server) {
    return server.getPort() < 0 ? HTTPS_PORT : server.getPort();
  }

  /** One server may have many names, each with a certificate; an address has none. */
  private static void named(SSLSocket socket, URI server) {
    if (server.getHost().matches(".*[a-zA-Z].*") && !server.getHost().startsWith("[")) {
      SSLParameters parameters = socket.getSSLParameters();
      parameters.setServerNames(List.of(new SNIHostName(server.getHost())));
      socket.setSSLParameters(parameters);
    }
  }

  private static Optional<Instant> endOf(Certificate[] chain) {
    return chain.length > 0 && chain[0] instanceof X509Certificate certificate
        ? Optional.of(certificate.getNotAfter().toInstant())
        : Optional.empty();
  }

  /** Trusts anybody, for nothing is told to them. Used for the look at the certificate alone. */
  private static final class LooksOnly implements X509TrustManager {
    @Override
    public void checkClientTrusted(X509Certificate[] chain, String type) {}

    @Override
    public void checkServerTrusted(X509Certificate[] chain, String type) {}

    @Override
    public X509Certificate[] getAcceptedIssuers() {
      return new X509Certificate[0];
    }
  }
}
