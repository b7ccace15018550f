// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import com.influxdb.client.InfluxDBClient;
import com.influxdb.client.InfluxDBClientFactory;
import com.influxdb.client.InfluxDBClientOptions;
import com.influxdb.client.WriteApiBlocking;
import com.influxdb.client.domain.WritePrecision;
import com.influxdb.exceptions.InfluxException;
import java.io.IOException;
import java.security.GeneralSecurityException;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import okhttp3.OkHttpClient;
import opercle.ingest.settings.PemTrust;
import org.jspecify.annotations.Nullable;

/**
 * Writes lines to InfluxDB over {@code /api/v2/write}, which 1.8, 2.x and 3 have. One thread at a
 * time.
 */
final class InfluxWriter implements AutoCloseable {

  private static final Duration CONNECT_TIMEOUT = Duration.ofSeconds(5);
  private static final Duration ANSWER_TIMEOUT = Duration.ofSeconds(20);
  private static final Duration LONGEST_WAIT = Duration.ofMinutes(5);

  /** What says that the points themselves are at fault: RFC 9110 and the InfluxDB API. */
  private static final Set<Integer> REFUSALS = Set.of(400, 413, 422);

  private final InfluxSettings settings;
  private final InfluxDBClient client;
  private final WriteApiBlocking api;

  /**
   * @throws StoreException if the certificates to trust cannot be read
   */
  InfluxWriter(InfluxSettings settings) {
    this.settings = settings;
    OkHttpClient.Builder http =
        new OkHttpClient.Builder()
            .connectTimeout(CONNECT_TIMEOUT)
            .readTimeout(ANSWER_TIMEOUT)
            .writeTimeout(ANSWER_TIMEOUT)
            .followRedirects(false)
            .followSslRedirects(false);
    trust(settings)
        .ifPresent(t -> http.sslSocketFactory(t.context().getSocketFactory(), t.manager()));
    InfluxDBClientOptions.Builder options =
        InfluxDBClientOptions.builder()
            .url(settings.url().toString())
            .org(settings.org())
            .okHttpClient(http);
    settings.token().ifPresent(token -> options.authenticateToken(token.toCharArray()));
    this.client = InfluxDBClientFactory.create(options.build()).enableGzip();
    this.api = client.getWriteApiBlocking();
  }

  /** What a settings' certificates make of trust; empty: the system's. */
  static Optional<PemTrust> trust(InfluxSettings settings) {
    return settings
        .caFile()
        .map(
            pem -> {
              try {
                return PemTrust.in(pem);
              } catch (IOException | GeneralSecurityException e) {
                throw new StoreException(
                    "cannot read the CA certificates in %s: %s".formatted(pem, e.getMessage()), e);
              }
            });
  }

  /** Writes lines with times in milliseconds; InfluxDB has them when this returns. */
  void write(InfluxSettings.Place place, List<String> lines) throws InfluxTrouble {
    if (lines.isEmpty()) {
      return;
    }
    try {
      api.writeRecords(place.bucket(), settings.org(), WritePrecision.MS, lines);
    } catch (InfluxException e) {
      InfluxTrouble.Kind kind =
          REFUSALS.contains(e.status()) ? InfluxTrouble.Kind.REFUSED : InfluxTrouble.Kind.AWAY;
      throw new InfluxTrouble(kind, words(e), retryAfter(e), e);
    }
  }

  /** For a person: what is wrong, and what the server said of it. */
  private static String words(InfluxException e) {
    if (e.status() == 0) {
      return InfluxWords.of(e);
    }
    String said = Optional.ofNullable(e.getMessage()).map(m -> ": " + m.strip()).orElse("");
    String plain =
        switch (e.status()) {
          case 401, 403 -> "it does not accept the token";
          case 404 -> "it has no such bucket or database";
          case 429, 503 -> "it is too busy, or starting";
          case 502, 504 -> "the proxy before it does not reach it";
          default -> "it answers with an error";
        };
    return "%s (%d%s)".formatted(plain, e.status(), said);
  }

  private static Optional<Duration> retryAfter(InfluxException e) {
    @Nullable Map<String, String> headers = e.status() > 0 ? e.headers() : null;
    if (headers == null) {
      return Optional.empty();
    }
    return headers.entrySet().stream()
        .filter(h -> h.getKey().equalsIgnoreCase("Retry-After"))
        .map(Map.Entry::getValue)
        .filter(v -> v.matches("\\d{1,6}"))
        .map(v -> Duration.ofSeconds(Long.parseLong(v)))
        .map(d -> d.compareTo(LONGEST_WAIT) > 0 ? LONGEST_WAIT : d)
        .findFirst();
  }

  @Override
  public void close() {
    client.close();
  }
}
