// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpConnectTimeoutException;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.net.http.HttpTimeoutException;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.Set;

/**
 * Asks InfluxQL queries over {@code GET /query}, which 1.x, 2.x and 3 answer alike; times come as
 * milliseconds. For many threads.
 *
 * <p>Where it has just been found away, it is not asked for some seconds: pages must not wait in
 * rows for a time-out each. What is said then is no answer to the question: it was never put.
 */
final class InfluxQuery {

  private static final Duration CONNECT_TIMEOUT = Duration.ofSeconds(5);
  private static final Duration ANSWER_TIMEOUT = Duration.ofSeconds(20);
  private static final Duration LEFT_ALONE = Duration.ofSeconds(5);

  /** Request time-out, too many requests, and what is said in its place while it is not there. */
  private static final Set<Integer> PASSING = Set.of(408, 429, 502, 503, 504);

  private static final ObjectMapper JSON = new ObjectMapper();

  private final InfluxSettings settings;
  private final Duration answerTimeout;
  private final Duration leftAlone;
  private final HttpClient http;

  private record Failure(long atNanos, StoreException why) {

    /** In the same words, for whoever asks now; their own question has not timed out. */
    StoreException again() {
      return new StoreException(String.valueOf(why.getMessage()), why);
    }
  }

  private volatile Failure last = new Failure(0, new StoreException(""));
  private volatile boolean failed;

  InfluxQuery(InfluxSettings settings) {
    this(settings, ANSWER_TIMEOUT, LEFT_ALONE);
  }

  /** One that puts each question, for whoever backs off by themselves. */
  static InfluxQuery thatAlwaysAsks(InfluxSettings settings) {
    return new InfluxQuery(settings, ANSWER_TIMEOUT, Duration.ZERO);
  }

  /**
   * @param leftAlone for how long it is not asked once it was found away
   */
  InfluxQuery(InfluxSettings settings, Duration answerTimeout, Duration leftAlone) {
    this.settings = settings;
    this.answerTimeout = answerTimeout;
    this.leftAlone = leftAlone;
    HttpClient.Builder builder =
        HttpClient.newBuilder()
            .version(HttpClient.Version.HTTP_1_1)
            .connectTimeout(CONNECT_TIMEOUT)
            .followRedirects(HttpClient.Redirect.NEVER);
    InfluxWriter.trust(settings).ifPresent(t -> builder.sslContext(t.context()));
    this.http = builder.build();
  }

  /**
   * The result's series, a JSON array; empty where nothing fits.
   *
   * @throws StoreException if it is away or busy; a {@link ReadTimedOutException} where it had this
   *     question and did not answer in time; a {@link ReadRefusedException} where it is there and
   *     does not answer the query, whatever its reason: versions differ in how they say that a
   *     token may not read
   */
  JsonNode ask(InfluxSettings.Place place, String query) {
    if (failed && System.nanoTime() - last.atNanos() < leftAlone.toNanos()) {
      throw last.again();
    }
    try {
      HttpResponse<byte[]> response = http.send(request(place, query), BodyHandlers.ofByteArray());
      failed = false;
      return series(response);
    } catch (IOException e) {
      String words = away(InfluxWords.of(e));
      boolean isLate =
          e instanceof HttpTimeoutException && !(e instanceof HttpConnectTimeoutException);
      StoreException away =
          isLate ? new ReadTimedOutException(words, e) : new StoreException(words, e);
      last = new Failure(System.nanoTime(), away);
      failed = true;
      throw away;
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new StoreException(away("asked to end"), e);
    }
  }

  private HttpRequest request(InfluxSettings.Place place, String query) {
    StringBuilder parameters = new StringBuilder("?epoch=ms");
    add(parameters, "db", place.database());
    place.retentionPolicy().ifPresent(policy -> add(parameters, "rp", policy));
    add(parameters, "q", query);
    String base = settings.url().toString().replaceFirst("/$", "");
    HttpRequest.Builder request =
        HttpRequest.newBuilder(URI.create(base + "/query" + parameters))
            .timeout(answerTimeout)
            .header("Accept", "application/json");
    settings.token().ifPresent(token -> request.header("Authorization", "Token " + token));
    return request.GET().build();
  }

  private static void add(StringBuilder parameters, String name, String value) {
    parameters
        .append('&')
        .append(name)
        .append('=')
        .append(URLEncoder.encode(value, StandardCharsets.UTF_8));
  }

  private JsonNode series(HttpResponse<byte[]> response) {
    JsonNode body;
    try {
      body = JSON.readTree(response.body());
    } catch (JsonProcessingException e) {
      throw unanswered(response.statusCode(), "and no JSON");
    } catch (IOException e) {
      throw new StoreException("JSON in memory cannot fail to be read", e);
    }
    JsonNode result = body.path("results").path(0);
    String error =
        result.path("error").asText(body.path("error").asText(body.path("message").asText("")));
    if (!error.isEmpty() || response.statusCode() != 200) {
      throw unanswered(response.statusCode(), error);
    }
    return result.path("series");
  }

  private String away(String why) {
    return "InfluxDB at %s does not answer: %s".formatted(settings.url(), why);
  }

  private StoreException unanswered(int status, String why) {
    String words =
        "InfluxDB at %s did not answer a query: HTTP %d, %s".formatted(settings.url(), status, why);
    return PASSING.contains(status) ? new StoreException(words) : new ReadRefusedException(words);
  }
}
