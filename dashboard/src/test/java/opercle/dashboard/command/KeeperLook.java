// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;

/**
 * Looks once a second at what a keeper can see: the yard's page, what the monitor says of itself,
 * and who was called; prints what changes, with the seconds since something was pulled, and how
 * long each answer took.
 */
final class KeeperLook implements AutoCloseable {

  private static final Duration TOO_LATE = Duration.ofSeconds(10);
  private static final List<String> ADDRESSES =
      List.of(
          "/",
          "/health/ready",
          "/api/v1/monitor",
          "/api/v1/tanks/h0/trace?quantity=oxygen&points=300",
          "/api/v1/alarms");

  private final ObjectMapper json = new ObjectMapper();
  private final HttpClient http = HttpClient.newHttpClient();
  private final ScheduledExecutorService pace = Executors.newSingleThreadScheduledExecutor();
  private final URI pages;
  private final WebhookReceiver receiver;
  private final Map<String, List<Double>> millis = new LinkedHashMap<>();
  private final Map<String, Integer> statuses = new LinkedHashMap<>();
  private String phase = "start";
  private long since = System.nanoTime();
  private String seen = "";
  private int toldBefore;
  private volatile boolean ready;
  private volatile boolean well;
  private volatile boolean allHeard;

  KeeperLook(URI pages, WebhookReceiver receiver) {
    this.pages = pages;
    this.receiver = receiver;
    var unused = pace.scheduleAtFixedRate(this::look, 0, 1, TimeUnit.SECONDS);
  }

  /** From now on times are counted from here. */
  synchronized void from(String name) {
    phase = name;
    since = System.nanoTime();
    millis.clear();
    statuses.clear();
    // What is known from before must be seen anew.
    ready = false;
    well = false;
    allHeard = false;
  }

  boolean isReady() {
    return ready;
  }

  boolean allIsWell() {
    return well;
  }

  boolean allTanksHeard() {
    return allHeard;
  }

  private synchronized void look() {
    try {
      for (String address : ADDRESSES) {
        ask(address);
      }
      for (String body : receiver.bodies.subList(toldBefore, receiver.bodies.size())) {
        toldBefore++;
        say("Maren is told: " + brief(json.readTree(body)));
      }
    } catch (IOException | RuntimeException e) {
      say("the look failed: " + e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private void ask(String address) throws IOException, InterruptedException {
    long start = System.nanoTime();
    HttpResponse<String> answer;
    try {
      answer =
          http.send(
              HttpRequest.newBuilder(pages.resolve(address)).timeout(TOO_LATE).build(),
              HttpResponse.BodyHandlers.ofString());
    } catch (IOException e) {
      statuses.merge(address + " no answer: " + e.getMessage(), 1, Integer::sum);
      return;
    }
    millis.computeIfAbsent(address, a -> new ArrayList<>()).add((System.nanoTime() - start) / 1e6);
    statuses.merge(address + " " + answer.statusCode(), 1, Integer::sum);
    if (address.equals("/health/ready")) {
      if (ready != (answer.statusCode() == 200)) {
        say("readiness: " + answer.statusCode() + " " + answer.body());
      }
      ready = answer.statusCode() == 200;
    }
    if (address.equals("/api/v1/monitor")) {
      monitor(json.readTree(answer.body()));
    }
  }

  private void monitor(JsonNode monitor) {
    TreeSet<String> words = new TreeSet<>();
    monitor.path("troubles").forEach(t -> words.add(t.path("words").asText()));
    for (String part : List.of("broker", "store")) {
      if (!monitor.path(part).path("well").asBoolean(true)) {
        words.add(part + ": " + monitor.path(part).path("words").asText());
      }
    }
    int fresh = 0;
    for (JsonNode tank : monitor.path("tanks")) {
      if (tank.path("ageSeconds").asDouble(Double.POSITIVE_INFINITY) < 5.0) {
        fresh++;
      }
    }
    well = monitor.path("well").asBoolean();
    allHeard = fresh == SteadyProbes.TANKS;
    String now = words + ", tanks heard within 5 s: " + fresh;
    // Counts and times in the words change all the time.
    String kind = now.replaceAll("\\d+(:\\d+)*", "#");
    if (!kind.equals(seen)) {
      seen = kind;
      say("the monitor says " + now);
    }
  }

  private static String brief(JsonNode told) {
    StringBuilder text = new StringBuilder();
    for (String field : List.of("type", "tank", "cause", "trouble", "event", "subject", "text")) {
      if (told.hasNonNull(field)) {
        text.append(text.isEmpty() ? "" : ", ").append(told.path(field).asText());
      }
    }
    String all = text.toString().replace('\n', ' ');
    return all.substring(0, Math.min(200, all.length()));
  }

  private void say(String what) {
    System.out.printf("   %s + %.1f s: %s%n", phase, (System.nanoTime() - since) / 1e9, what);
  }

  /** How long the answers took since {@link #from}, and what they were. */
  synchronized void tellFigures() {
    millis.forEach(
        (address, all) -> {
          double[] sorted = all.stream().mapToDouble(Double::doubleValue).sorted().toArray();
          System.out.printf(
              "   %s: %d answers, p50 %.0f ms, p99 %.0f ms, most %.0f ms%n",
              address,
              sorted.length,
              sorted[sorted.length / 2],
              sorted[(int) (sorted.length * 0.99)],
              Arrays.stream(sorted).max().orElse(Double.NaN));
        });
    System.out.println("   " + statuses);
  }

  @Override
  public void close() {
    pace.shutdownNow();
  }
}
