// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.net.http.HttpTimeoutException;
import java.time.Duration;
import java.util.Map;
import java.util.concurrent.CompletionException;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Supplier;
import opercle.analysis.monitor.Heartbeat;
import opercle.analysis.monitor.Heartbeat.Cycle;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Tells a watcher outside, after every full cycle, that the monitor is well. What is sent is a GET
 * of one address without anything about the farm.
 *
 * <p>For one thread; the request runs on the HTTP client's own, and is looked at here a second
 * later.
 */
public final class HeartbeatLeg implements Leg {

  private static final Logger log = LoggerFactory.getLogger(HeartbeatLeg.class);

  private static final Duration PATIENCE = Duration.ofSeconds(10);

  private final URI url;
  private final Duration every;
  private final Supplier<Cycle> cycle;
  private final HttpClient client;
  private final ConcurrentLinkedQueue<String> outcomes = new ConcurrentLinkedQueue<>();
  private final AtomicInteger underWay = new AtomicInteger();
  private @Nullable Heartbeat heart;

  /**
   * Beats at an address.
   *
   * @param url {@code http} or {@code https}
   * @param every how often
   * @param cycle the counts that a full cycle is told by
   */
  public HeartbeatLeg(URI url, Duration every, Supplier<Cycle> cycle) {
    this.url = url;
    this.every = every;
    this.cycle = cycle;
    this.client = HttpClient.newBuilder().connectTimeout(PATIENCE).build();
  }

  @Override
  public String what() {
    return "the heartbeat";
  }

  @Override
  public Map<TroubleKey, String> look(long steadyNanos) {
    if (heart == null) {
      heart = new Heartbeat(every, steadyNanos, cycle.get());
    }
    for (String outcome = outcomes.poll(); outcome != null; outcome = outcomes.poll()) {
      if (outcome.isEmpty()) {
        heart.taken();
      } else {
        heart.failed(outcome);
      }
    }
    if (heart.beat(steadyNanos, cycle.get()) == Heartbeat.Beat.SEND) {
      send();
    }
    return heart
        .trouble()
        .map(words -> Map.of(TroubleKey.of(TroubleKind.HEARTBEAT_HELD), words))
        .orElse(Map.of());
  }

  private void send() {
    underWay.incrementAndGet();
    HttpRequest request = HttpRequest.newBuilder(url).timeout(PATIENCE).build();
    var unused =
        client
            .sendAsync(request, HttpResponse.BodyHandlers.discarding())
            .handle(
                (response, failure) -> {
                  outcomes.add(failure == null ? of(response) : of(failure));
                  return underWay.decrementAndGet();
                });
  }

  /** Whether it is not known yet what became of a request. */
  boolean isWaiting() {
    return underWay.get() > 0;
  }

  private static String of(HttpResponse<Void> response) {
    int status = response.statusCode();
    return status / 100 == 2 ? "" : "it answers with HTTP status " + status;
  }

  private static String of(Throwable failure) {
    @Nullable Throwable cause =
        failure instanceof CompletionException ? failure.getCause() : failure;
    log.info("the outside watcher is not reached", failure);
    return cause instanceof HttpTimeoutException
        ? "it does not answer in time"
        : "it is not reached";
  }
}
