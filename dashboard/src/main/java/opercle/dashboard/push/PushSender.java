// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.Base64;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Hands encrypted messages to push services: RFC 8030. Follows no redirect, reads no answer's body,
 * and waits for no longer than {@link #PATIENCE}. For any thread; each call waits for the network.
 */
public final class PushSender {

  private static final Logger log = LoggerFactory.getLogger(PushSender.class);

  /** The most that one message may take, from look-up to answer. */
  static final Duration PATIENCE = Duration.ofSeconds(20);

  /** The most that a message can carry within the 4096 bytes that must be taken: RFC 8291 4. */
  static final int MOST_BYTES = 3993;

  private static final Duration CONNECT = Duration.ofSeconds(10);
  private static final Duration USUAL_WAIT = Duration.ofMinutes(1);
  private static final Duration LONGEST_WAIT = Duration.ofHours(1);
  private static final int TOPIC_LETTERS = 32; // the most that RFC 8030 section 5.4 allows

  private final PushKeys keys;
  private final EndpointRule rule;
  private final InstantSource clock;
  private final HttpClient http =
      HttpClient.newBuilder()
          .connectTimeout(CONNECT)
          .followRedirects(HttpClient.Redirect.NEVER)
          .build();

  public PushSender(PushKeys keys, EndpointRule rule, InstantSource clock) {
    this.keys = keys;
    this.rule = rule;
    this.clock = clock;
  }

  /**
   * Sends one message to one device.
   *
   * @param payload what the device's service worker is to read, at most 3,993 bytes
   * @param urgency see {@link Urgency}
   * @param timeToLive how long the service may keep it for a device that is off; to the second
   * @param topic messages of one topic replace each other while they wait; any text; empty: none
   */
  public PushOutcome send(
      PushSubscription to,
      byte[] payload,
      Urgency urgency,
      Duration timeToLive,
      Optional<String> topic) {
    if (payload.length > MOST_BYTES) {
      return new PushOutcome.Refused(
          "The notice has %d bytes; a push message carries at most %d."
              .formatted(payload.length, MOST_BYTES));
    }
    Optional<String> objection = rule.objection(to.endpoint());
    if (objection.isPresent()) {
      return new PushOutcome.Refused("Not called: " + objection.get() + ".");
    }
    byte[] encrypted;
    try {
      encrypted = keys.encrypted(payload, to);
    } catch (IllegalArgumentException e) {
      return new PushOutcome.Refused("Not called: the device's key cannot be used.");
    }
    HttpRequest.Builder request =
        HttpRequest.newBuilder(to.endpoint())
            .timeout(PATIENCE)
            .POST(BodyPublishers.ofByteArray(encrypted));
    keys.headers(to.endpoint(), timeToLive, urgency, topic.map(PushSender::topicHeader))
        .forEach(request::header);
    return exchange(request.build(), to.endpoint());
  }

  private PushOutcome exchange(HttpRequest request, URI endpoint) {
    CompletableFuture<HttpResponse<Void>> call = http.sendAsync(request, BodyHandlers.discarding());
    try {
      return outcome(call.get(PATIENCE.toSeconds(), TimeUnit.SECONDS), endpoint);
    } catch (TimeoutException e) {
      call.cancel(true);
      return new PushOutcome.Unreached(
          "%s did not answer within %d s.".formatted(endpoint.getHost(), PATIENCE.toSeconds()));
    } catch (ExecutionException e) {
      log.info("{} cannot be reached", endpoint.getHost(), e);
      return new PushOutcome.Unreached("%s cannot be reached.".formatted(endpoint.getHost()));
    } catch (InterruptedException e) {
      call.cancel(true);
      Thread.currentThread().interrupt();
      return new PushOutcome.Unreached("Opercle is being stopped.");
    }
  }

  private PushOutcome outcome(HttpResponse<Void> answer, URI endpoint) {
    int status = answer.statusCode();
    String service = String.valueOf(endpoint.getHost());
    return switch (status) {
      case 200, 201, 202, 204 -> new PushOutcome.Taken();
      case 404, 410 -> new PushOutcome.Gone();
      case 413 ->
          new PushOutcome.Refused(service + " says that the notice is too large for it (413).");
      case 429, 503 ->
          new PushOutcome.Later(
              answer
                  .headers()
                  .firstValue("Retry-After")
                  .flatMap(text -> wait(text, clock.instant()))
                  .orElse(USUAL_WAIT));
      case 401, 403 ->
          new PushOutcome.Refused(
              "%s does not take our key (%d): is the clock right, and is a contact address set?"
                  .formatted(service, status));
      default ->
          status >= 500
              ? new PushOutcome.Unreached("%s has a fault (%d).".formatted(service, status))
              : new PushOutcome.Refused("%s refused it (%d).".formatted(service, status));
    };
  }

  /** Seconds or a date, RFC 9110 section 10.2.3. */
  static Optional<Duration> wait(String retryAfter, Instant now) {
    Duration asked;
    try {
      asked =
          retryAfter.chars().allMatch(Character::isDigit)
              ? Duration.ofSeconds(Long.parseLong(retryAfter))
              : Duration.between(
                  now,
                  ZonedDateTime.parse(retryAfter, DateTimeFormatter.RFC_1123_DATE_TIME)
                      .toInstant());
    } catch (NumberFormatException | DateTimeException e) {
      return Optional.empty();
    }
    if (asked.isNegative()) {
      return Optional.of(Duration.ZERO);
    }
    return Optional.of(asked.compareTo(LONGEST_WAIT) > 0 ? LONGEST_WAIT : asked);
  }

  /** Only 32 letters of base64url are allowed, and the service need not know what it is about. */
  private static String topicHeader(String name) {
    try {
      byte[] hash =
          MessageDigest.getInstance("SHA-256").digest(name.getBytes(StandardCharsets.UTF_8));
      return Base64.getUrlEncoder()
          .withoutPadding()
          .encodeToString(hash)
          .substring(0, TOPIC_LETTERS);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }
}
