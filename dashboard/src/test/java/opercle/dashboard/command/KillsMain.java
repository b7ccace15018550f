// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.IOException;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.BitSet;
import java.util.Locale;
import java.util.Random;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import opercle.ingest.mqtt.LocalMosquitto;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import opercle.ingest.store.SqliteReadings;
import org.awaitility.Awaitility;
import org.awaitility.core.ConditionTimeoutException;

/**
 * Not a test: kills Opercle again and again at random moments while readings come in at QoS 1, and
 * looks afterwards whether each that was acknowledged to its publisher is in the store, once.
 *
 * <p>Half of the kills meet {@code ingest} beside a Mosquitto, which holds what it has acknowledged
 * while Opercle is away; half meet {@code serve} with the broker in it, where what was acknowledged
 * must be on the disk. Arguments: kills, 200 without; readings a second, 2,000 without; seed.
 * System property {@code opercle.jar}: the packed jar.
 */
final class KillsMain {

  private static final int TANKS = 10;
  private static final int MOST_READINGS = 20_000_000;

  private final Path folder;
  private final int perSecond;
  private final Random random;
  private final Instant start = Instant.now().minusSeconds(3600).truncatedTo(ChronoUnit.MILLIS);
  private final BitSet acknowledged = new BitSet();
  private final AtomicInteger failed = new AtomicInteger();

  private KillsMain(Path folder, int perSecond, long seed) {
    this.folder = folder;
    this.perSecond = perSecond;
    random = new Random(seed);
  }

  public static void main(String[] args) throws Exception {
    int kills = args.length > 0 ? Integer.parseInt(args[0]) : 200;
    int perSecond = args.length > 1 ? Integer.parseInt(args[1]) : 2000;
    long seed = args.length > 2 ? Long.parseLong(args[2]) : 1L;
    Path beside = Files.createTempDirectory("opercle-kills-ingest");
    try (LocalMosquitto broker = LocalMosquitto.start(beside)) {
      new KillsMain(beside, perSecond, seed)
          .run("ingest", broker.uri(), "{ broker: \"" + broker.uri() + "\" }", kills / 2);
    }
    Path inside = Files.createTempDirectory("opercle-kills-serve");
    int port = LocalMosquitto.freePort();
    new KillsMain(inside, perSecond, seed + 1)
        .run(
            "serve",
            URI.create("tcp://127.0.0.1:" + port),
            "{ port: " + port + " }",
            kills - kills / 2);
  }

  private void run(String command, URI broker, String mqtt, int kills) throws Exception {
    String config = describe(mqtt);
    CountDownLatch enough = new CountDownLatch(1);
    OpercleProcess opercle = started(command, config);
    int sent;
    try (MqttLink probes = MqttLink.open(MqttSettings.of(broker, "probes"))) {
      Publisher publisher = new Publisher(probes, enough);
      Thread publishing = new Thread(publisher, "publishing");
      publishing.start();
      for (int kill = 1; kill <= kills; kill++) {
        // From the first moment after the start to two seconds of steady work.
        var unused = enough.await(random.nextInt(2000), TimeUnit.MILLISECONDS);
        opercle.kill();
        opercle = started(command, config);
        if (kill % 10 == 0) {
          System.out.printf("%s: %d kills, %d readings sent%n", command, kill, publisher.sent());
        }
      }
      enough.countDown();
      publishing.join();
      sent = publisher.sent();
      Awaitility.await("all acknowledgements")
          .atMost(Duration.ofMinutes(2))
          .until(() -> publisher.answered() == sent);
    }
    int missing = missingOnceAllIsStored();
    opercle.close();
    System.out.printf(
        Locale.ROOT,
        "%s: %d kills -9, %d readings sent, %d acknowledged to their publisher; of these %d are not"
            + " in the store, and none is there twice%n",
        command,
        kills,
        sent,
        acknowledged.cardinality(),
        missing);
    if (missing > 0 || failed.get() > 0) {
      throw new AssertionError("lost readings: " + missing + ", refused: " + failed.get());
    }
  }

  private static OpercleProcess started(String command, String config) throws IOException {
    OpercleProcess opercle = OpercleProcess.start(command, "--config", config);
    opercle.awaitLine("Connected to the MQTT broker .* as opercle-" + command);
    return opercle;
  }

  private String describe(String mqtt) throws IOException {
    StringBuilder yaml = new StringBuilder("farm: Sallowmere\ntanks:\n");
    for (int i = 0; i < TANKS; i++) {
      yaml.append(
          "  - { id: h%d, kind: holding, waterLitres: 1500, supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 } }%n"
              .formatted(i));
    }
    Files.writeString(folder.resolve("farm.yaml"), yaml);
    Path config = folder.resolve("opercle.yaml");
    Files.writeString(config, "farm: farm.yaml\ndashboard: { port: 0 }\nmqtt: " + mqtt + "\n");
    return config.toString();
  }

  /** The time of a reading is its number, in milliseconds since the start. */
  private final class Publisher implements Runnable {
    private final MqttLink probes;
    private final CountDownLatch enough;
    private final AtomicInteger sent = new AtomicInteger();
    private final AtomicInteger answered = new AtomicInteger();

    Publisher(MqttLink probes, CountDownLatch enough) {
      this.probes = probes;
      this.enough = enough;
    }

    int sent() {
      return sent.get();
    }

    int answered() {
      return answered.get();
    }

    @Override
    public void run() {
      try {
        long begun = System.nanoTime();
        while (enough.getCount() > 0 && sent.get() < MOST_READINGS) {
          long due = (System.nanoTime() - begun) * perSecond / 1_000_000_000L;
          // What could not be sent while the broker was away is not made up for.
          if (due - sent.get() > perSecond) {
            begun = System.nanoTime() - sent.get() * 1_000_000_000L / perSecond;
          }
          while (sent.get() < due && enough.getCount() > 0) {
            send(sent.get());
            sent.incrementAndGet();
          }
          var unused = enough.await(5, TimeUnit.MILLISECONDS);
        }
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
    }

    private void send(int number) throws InterruptedException {
      String pack =
          String.format(
              Locale.ROOT,
              "[{\"bt\":%.3f,\"u\":\"mg/l\",\"v\":8.5}]",
              start.plusMillis(number).toEpochMilli() / 1000.0);
      var unused =
          probes
              .publish("tanks/h" + number % TANKS + "/oxygen", pack.getBytes(UTF_8), 1, false)
              .whenComplete(
                  (nothing, failure) -> {
                    if (failure == null) {
                      synchronized (acknowledged) {
                        acknowledged.set(number);
                      }
                    } else {
                      failed.incrementAndGet();
                    }
                    answered.incrementAndGet();
                  });
    }
  }

  private BitSet stored() {
    BitSet stored = new BitSet();
    try (SqliteReadings store =
        SqliteReadings.openReadOnly(folder.resolve("opercle-data/readings.db"))) {
      for (int tank = 0; tank < TANKS; tank++) {
        Series series = new Series("h" + tank, Quantity.OXYGEN, Reading.DEFAULT_PROBE);
        for (Reading reading : store.range(series, start, start.plusMillis(MOST_READINGS))) {
          int number = (int) (reading.time().toEpochMilli() - start.toEpochMilli());
          if (stored.get(number)) {
            throw new AssertionError("twice in the store: " + reading);
          }
          stored.set(number);
        }
      }
    }
    return stored;
  }

  private int missing() {
    BitSet missing = new BitSet();
    missing.or(acknowledged);
    missing.andNot(stored());
    return missing.cardinality();
  }

  /** The broker may still be handing over what it holds. */
  private int missingOnceAllIsStored() {
    int[] missing = new int[1];
    try {
      Awaitility.await("all readings stored")
          .atMost(Duration.ofMinutes(2))
          .pollInterval(Duration.ofSeconds(2))
          .until(() -> (missing[0] = missing()) == 0);
    } catch (ConditionTimeoutException e) {
      System.out.println(e.getMessage());
    }
    return missing[0];
  }
}
