// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.charset.StandardCharsets;
import java.security.GeneralSecurityException;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.InstantSource;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.HexFormat;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import javax.crypto.Mac;
import javax.crypto.spec.SecretKeySpec;
import opercle.analysis.calling.Delivery;

/**
 * Calls as HTTP POST to another system.
 *
 * <p>{@code Idempotency-Key} names the call: the same again is no news. {@code Opercle-Signature}
 * is {@code sha256=} and the HMAC-SHA256, in hexadecimal, of the header {@code Opercle-Timestamp}
 * (seconds since 1970), a full stop and the body. Redirects are not followed. For any thread.
 */
public final class WebhookChannel implements Channel {

  private static final Duration CONNECT = Duration.ofSeconds(5);
  private static final Duration ANSWER = Duration.ofSeconds(12);
  private static final Duration LONGEST_RETRY_AFTER = Duration.ofMinutes(10);
  private static final Set<Integer> WORTH_TRYING_AGAIN = Set.of(408, 425, 429);

  private final WebhookSettings settings;
  private final InstantSource clock;
  private final Duration answer;
  private final HttpClient client;

  /** Posts to that address. */
  public WebhookChannel(WebhookSettings settings, InstantSource clock) {
    this(settings, clock, ANSWER);
  }

  WebhookChannel(WebhookSettings settings, InstantSource clock, Duration answer) {
    this.settings = settings;
    this.clock = clock;
    this.answer = answer;
    this.client =
        HttpClient.newBuilder()
            .version(HttpClient.Version.HTTP_1_1)
            .connectTimeout(CONNECT)
            .followRedirects(HttpClient.Redirect.NEVER)
            .build();
  }

  @Override
  public Delivery deliver(Message message) {
    CompletableFuture<HttpResponse<Void>> sent =
        client.sendAsync(request(message), BodyHandlers.discarding());
    try {
      return judged(sent.get(answer.toMillis(), TimeUnit.MILLISECONDS));
    } catch (TimeoutException e) {
      sent.cancel(true);
      return Delivery.failed(
          "%s gives no answer within %d s".formatted(host(), answer.toSeconds()));
    } catch (ExecutionException e) {
      return Delivery.failed("%s: %s".formatted(host(), reason(e)));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return Delivery.failed("asked to end");
    }
  }

  private HttpRequest request(Message message) {
    boolean cap = settings.format() == WebhookSettings.Format.CAP;
    String body = cap ? CapXml.of(message) : CallJson.of(message);
    String seconds = Long.toString(clock.instant().getEpochSecond());
    HttpRequest.Builder request =
        HttpRequest.newBuilder(settings.url())
            .timeout(answer)
            .header("Content-Type", cap ? "application/cap+xml" : "application/json")
            .header("User-Agent", "Opercle")
            .header("Idempotency-Key", message.call().key())
            .header("Opercle-Timestamp", seconds)
            .POST(BodyPublishers.ofString(body));
    settings
        .secret()
        .ifPresent(
            s -> request.header("Opercle-Signature", "sha256=" + hmac(s, seconds + "." + body)));
    return request.build();
  }

  /** HMAC-SHA256 (RFC 2104) in hexadecimal. */
  static String hmac(String secret, String text) {
    try {
      Mac mac = Mac.getInstance("HmacSHA256");
      mac.init(new SecretKeySpec(secret.getBytes(StandardCharsets.UTF_8), "HmacSHA256"));
      return HexFormat.of().formatHex(mac.doFinal(text.getBytes(StandardCharsets.UTF_8)));
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException("every Java has HmacSHA256", e);
    }
  }

  private Delivery judged(HttpResponse<Void> response) {
    int status = response.statusCode();
    if (status >= 200 && status < 300) {
      return new Delivery.Accepted("%s answers %d".formatted(host(), status));
    }
    boolean again = status >= 500 || WORTH_TRYING_AGAIN.contains(status);
    return new Delivery.Failed(
        "%s answers %d".formatted(host(), status),
        again,
        response.headers().firstValue("Retry-After").flatMap(this::retryAfter));
  }

  /**
   * Seconds, or a date (RFC 9110, 10.2.3). No more than ten minutes: an alarm must not wait longer.
   */
  private Optional<Duration> retryAfter(String text) {
    try {
      Duration wait =
          text.strip().chars().allMatch(Character::isDigit)
              ? Duration.ofSeconds(Long.parseLong(text.strip()))
              : Duration.between(
                  clock.instant(),
                  ZonedDateTime.parse(text.strip(), DateTimeFormatter.RFC_1123_DATE_TIME)
                      .toInstant());
      if (wait.isNegative()) {
        return Optional.empty();
      }
      return Optional.of(wait.compareTo(LONGEST_RETRY_AFTER) > 0 ? LONGEST_RETRY_AFTER : wait);
    } catch (DateTimeException | NumberFormatException e) {
      return Optional.empty();
    }
  }

  private String host() {
    URI url = settings.url();
    return url.getPort() < 0 ? url.getHost() : url.getHost() + ":" + url.getPort();
  }

  /** The kind of failure alone: messages can hold the address, and that a secret. */
  private static String reason(ExecutionException e) {
    Throwable cause = e.getCause() == null ? e : e.getCause();
    return switch (cause.getClass().getSimpleName()) {
      case "ConnectException", "HttpConnectTimeoutException" -> "no connection";
      case "HttpTimeoutException" -> "no answer in time";
      case "SSLHandshakeException" -> "its certificate is not trusted";
      default -> "no proper answer";
    };
  }
}
