// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import opercle.analysis.book.BookPlace;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.publish.WatchService;
import opercle.ingest.mqtt.LocalMosquitto;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.SensorSubscriber;
import opercle.ingest.mqtt.TopicListener;
import opercle.ingest.payload.Rejections;
import opercle.ingest.store.SqliteReadings;

/**
 * How long it takes from a probe's publishing the reading that decides to an alarm's arrival at
 * another client: a real Mosquitto, and the parts of {@code serve} with store and memory on disk,
 * in this process. 667 tanks tell oxygen, temperature and gas flow once a second, 2,001 readings a
 * second, each a message of its own at QoS 1. After half a minute gas stops in some tanks each
 * second; the meter's sample ten seconds later decides.
 *
 * <p>Beside it stand what the same readings took straight from the broker to another client, and
 * what one small write took to get to the disk, of which there are four on the way: a shared
 * machine has its moods.
 *
 * <p>Run with the test class path of the module; see docs/performance.md.
 */
public final class AlarmLatencyMain {

  private static final int TANKS = 667;
  private static final int SLOTS_A_SECOND = 100;
  private static final int QUIET_SECONDS = 30;
  private static final int STOPPING_SECONDS = 60;
  private static final int STOPS_A_SECOND = 5;
  private static final int CONFIRM_SECONDS = 10;
  private static final int SECONDS = QUIET_SECONDS + STOPPING_SECONDS + CONFIRM_SECONDS + 5;

  private final Map<String, Long> decided = new ConcurrentHashMap<>();
  private final Map<String, Long> told = new ConcurrentHashMap<>();
  private final Map<String, Long> straight = new ConcurrentHashMap<>();
  private final List<Double> forced = new ArrayList<>();
  private final CountDownLatch done = new CountDownLatch(1);
  private final Instant start = Instant.now();
  private int slot;

  private AlarmLatencyMain() {}

  /** Takes no arguments. */
  public static void main(String[] arguments) throws Exception {
    Path folder = Files.createTempDirectory("opercle-latency");
    try (LocalMosquitto broker = LocalMosquitto.start(folder)) {
      new AlarmLatencyMain().run(broker, folder);
    }
  }

  private static Farm farm() {
    StringBuilder yaml = new StringBuilder("farm: Sallowmere\ntanks:\n");
    for (int i = 0; i < TANKS; i++) {
      yaml.append("  - id: h").append(i).append("\n    kind: holding\n    waterLitres: 1500\n");
      yaml.append(
          "    supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }\n");
      yaml.append("    load: { species: tench, kg: 55, count: 70 }\n");
    }
    return FarmReader.parse("farm.yaml", yaml.toString());
  }

  private void run(LocalMosquitto broker, Path folder) throws IOException, InterruptedException {
    MqttSettings mqtt = MqttSettings.of(broker.uri(), "opercle");
    try (RunningParts parts = new RunningParts();
        MqttLink probes = MqttLink.open(MqttSettings.of(broker.uri(), "probes"));
        TopicListener siren =
            TopicListener.open(
                MqttSettings.of(broker.uri(), "siren"),
                List.of("opercle/Sallowmere/tank/+/alarm/gas-line-stopped"),
                m -> told.putIfAbsent(m.topic().split("/", -1)[3], System.nanoTime()));
        TopicListener straightOn =
            TopicListener.open(
                MqttSettings.of(broker.uri(), "straight-on"),
                List.of("tanks/+/gas-flow"),
                m -> heardStraight(m.topic().split("/", -1)[1]))) {
      Services services = new Services(parts, farm(), InstantSource.system());
      SqliteReadings store = services.store(folder);
      WatchService watch =
          services.watch(mqtt, folder, Optional.of(store), services.book(BookPlace.in(folder)));
      SensorSubscriber subscriber =
          services.subscriber(
              Sessions.named(mqtt, "serve"),
              List.of(),
              new Rejections(),
              Optional.of(store),
              List.of(watch));
      ScheduledExecutorService disk = Executors.newSingleThreadScheduledExecutor();
      var unusedToo =
          disk.scheduleAtFixedRate(() -> force(folder), 2_000, 333, TimeUnit.MILLISECONDS);
      ScheduledExecutorService pace = Executors.newSingleThreadScheduledExecutor();
      var unused =
          pace.scheduleAtFixedRate(
              () -> publishSlot(probes),
              2_000_000,
              1_000_000 / SLOTS_A_SECOND,
              TimeUnit.MICROSECONDS);
      done.await();
      pace.shutdownNow();
      disk.shutdown();
      report(subscriber, straightOn.linkState().connected() && siren.linkState().connected());
    }
  }

  private void heardStraight(String tank) {
    if (decided.containsKey(tank)) {
      straight.putIfAbsent(tank, System.nanoTime());
    }
  }

  private void force(Path folder) {
    long began = System.nanoTime();
    try (FileChannel file =
        FileChannel.open(
            folder.resolve("forced"), StandardOpenOption.CREATE, StandardOpenOption.APPEND)) {
      file.write(ByteBuffer.wrap(new byte[4096]));
      file.force(true);
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
    synchronized (forced) {
      forced.add((System.nanoTime() - began) / 1e6);
    }
  }

  /** A hundredth of the tanks' probes speak. */
  private void publishSlot(MqttLink probes) {
    int second = slot / SLOTS_A_SECOND;
    int part = slot % SLOTS_A_SECOND;
    slot++;
    if (second == SECONDS) {
      done.countDown();
      return;
    }
    for (int tank = part; tank < TANKS; tank += SLOTS_A_SECOND) {
      // A tank's clock is even; when it is heard is another matter.
      double time = start.getEpochSecond() + second + part / (double) SLOTS_A_SECOND;
      publish(probes, tank, "oxygen", "mg/l", time, 9.0 + (second + tank) % 7 / 100.0);
      publish(probes, tank, "temperature", "Cel", time, 12.0);
      int stops = QUIET_SECONDS + tank / STOPS_A_SECOND;
      boolean stopping = tank < STOPPING_SECONDS * STOPS_A_SECOND;
      if (stopping && second == stops + CONFIRM_SECONDS) {
        decided.put("h" + tank, System.nanoTime());
      }
      publish(
          probes,
          tank,
          "gas-flow",
          "l/s",
          time,
          stopping && second >= stops ? 0.0 : 0.75 + second % 3 / 100.0);
    }
  }

  private static void publish(
      MqttLink probes, int tank, String quantity, String unit, double time, double value) {
    String pack =
        String.format(Locale.ROOT, "[{\"bt\":%.2f,\"u\":\"%s\",\"v\":%.2f}]", time, unit, value);
    var unused = probes.offer("tanks/h" + tank + "/" + quantity, pack.getBytes(UTF_8), 1, false);
  }

  private void report(SensorSubscriber subscriber, boolean connected) {
    System.out.printf(
        Locale.ROOT,
        "%d readings taken, %d dropped; %d deciding readings, %d alarms; %s%n",
        subscriber.readings(),
        subscriber.dropped(),
        decided.size(),
        told.size(),
        connected ? "clients connected" : "a client was not connected");
    say("reading published to alarm received", since(told));
    say("the same reading straight from the broker", since(straight));
    synchronized (forced) {
      say("4 kB forced to the disk", forced.stream().mapToDouble(m -> m).sorted().toArray());
    }
  }

  private double[] since(Map<String, Long> heard) {
    return decided.entrySet().stream()
        .filter(e -> heard.containsKey(e.getKey()))
        .mapToDouble(e -> (heard.getOrDefault(e.getKey(), 0L) - e.getValue()) / 1e6)
        .sorted()
        .toArray();
  }

  private static void say(String what, double[] sorted) {
    System.out.printf(
        Locale.ROOT,
        "%-42s ms: least %.1f, p50 %.1f, p90 %.1f, p99 %.1f, most %.1f (of %d)%n",
        what,
        sorted[0],
        percentile(sorted, 0.50),
        percentile(sorted, 0.90),
        percentile(sorted, 0.99),
        sorted[sorted.length - 1],
        sorted.length);
  }

  private static double percentile(double[] sorted, double share) {
    return sorted[(int) Math.ceil(share * sorted.length) - 1];
  }
}
