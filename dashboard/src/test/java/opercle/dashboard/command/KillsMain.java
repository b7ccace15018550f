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
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import opercle.ingest.mqtt.LocalMosquitto;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.store.LocalInflux;
import org.awaitility.Awaitility;
import org.awaitility.core.ConditionTimeoutException;

/**
 * Not a test: kills one part or another again and again at random moments while readings come in at
 * QoS 1, and looks afterwards whether each that was acknowledged to its publisher is in the store,
 * once.
 *
 * <p>A part each: {@code ingest} beside a Mosquitto, which holds what it has acknowledged while
 * Opercle is away; {@code serve} with the broker in it, where what was acknowledged must be on the
 * disk; {@code influxd}, to which {@code ingest} writes; the {@code disk}, which is filled under
 * {@code ingest} and freed, at every other time with a kill in between; and {@code mosquitto},
 * which promises no more than it has written of its memory, so that what is missing then is its
 * own. For Opercle's own broker alone there is {@code BrokerKillsMain}.
 *
 * <p>Arguments: kills, 200 without; readings a second, 2,000 without; seed; the parts, with commas
 * between. System property {@code opercle.jar}: the packed jar.
 */
final class KillsMain {

  static final int TANKS = 10;
  static final int MOST_READINGS = 20_000_000;
  private static final String PARTS = "ingest,serve,influxd,disk";

  private final Path folder;
  private final int perSecond;
  private final Random random;
  private final Instant start = Instant.now().minusSeconds(3600).truncatedTo(ChronoUnit.MILLIS);
  private final BitSet acknowledged = new BitSet();
  private final AtomicInteger failed = new AtomicInteger();
  private final CountDownLatch enough = new CountDownLatch(1);
  private Optional<LocalInflux> influx = Optional.empty();

  private KillsMain(Path folder, int perSecond, long seed) {
    this.folder = folder;
    this.perSecond = perSecond;
    random = new Random(seed);
  }

  public static void main(String[] args) throws Exception {
    int kills = args.length > 0 ? Integer.parseInt(args[0]) : 200;
    int perSecond = args.length > 1 ? Integer.parseInt(args[1]) : 2000;
    long seed = args.length > 2 ? Long.parseLong(args[2]) : 1L;
    List<String> parts = List.of((args.length > 3 ? args[3] : PARTS).split(",", -1));
    for (String part : parts) {
      Path folder = Files.createTempDirectory("opercle-kills-" + part);
      new KillsMain(folder, perSecond, seed++).run(part, kills / parts.size());
    }
  }

  private void run(String part, int kills) throws Exception {
    if (part.equals("serve")) {
      int port = LocalMosquitto.freePort();
      URI broker = URI.create("tcp://127.0.0.1:" + port);
      String config = describe("mqtt: { port: %s }".formatted(String.valueOf(port)));
      run(part, kills, broker, config, OpercleUnderFire::killed);
      return;
    }
    try (LocalMosquitto broker =
        LocalMosquitto.start(
            folder,
            LocalMosquitto.freePort(),
            "persistence true",
            "persistence_location " + folder + "/",
            "autosave_interval 1")) {
      URI uri = broker.uri();
      String mqtt = "mqtt: { broker: \"%s\" }\n".formatted(uri);
      switch (part) {
        case "ingest" -> run(part, kills, uri, describe(mqtt), OpercleUnderFire::killed);
        case "mosquitto" -> run(part, kills, uri, describe(mqtt), ingest -> killed(broker));
        case "disk" -> {
          Files.createDirectories(folder.resolve("opercle-data"));
          try (SmallDisk disk = SmallDisk.mount(folder.resolve("opercle-data"), 256)) {
            run(part, kills, uri, describe(mqtt), ingest -> filled(disk, ingest));
          }
        }
        case "influxd" -> {
          try (LocalInflux there = LocalInflux.start(folder)) {
            influx = Optional.of(there);
            Files.writeString(folder.resolve("token.txt"), LocalInflux.TOKEN + "\n");
            String store =
                "store: { influxdb: { url: \"%s\", bucket: %s, tokenFile: token.txt } }\n"
                    .formatted(there.url(), LocalInflux.DATABASE);
            run(part, kills, uri, describe(mqtt + store), ingest -> killed(there));
          }
        }
        default -> throw new IllegalArgumentException("no such part: " + part);
      }
    }
  }

  /** What is done to a part each time. */
  private interface Harm {
    void once(OpercleUnderFire opercle) throws Exception;
  }

  private static void killed(LocalMosquitto broker) throws Exception {
    broker.kill();
    broker.restart();
  }

  private static void killed(LocalInflux influx) throws Exception {
    influx.kill();
    influx.restart();
  }

  private void filled(SmallDisk disk, OpercleUnderFire ingest) throws Exception {
    disk.fill();
    var unused = enough.await(random.nextInt(1000), TimeUnit.MILLISECONDS);
    boolean kills = random.nextBoolean();
    if (kills) {
      ingest.kill();
    }
    disk.free();
    if (kills) {
      ingest.start();
    }
  }

  private void run(String part, int kills, URI broker, String config, Harm harm) throws Exception {
    String command = part.equals("serve") ? "serve" : "ingest";
    try (OpercleUnderFire opercle = new OpercleUnderFire(command, config)) {
      underFire(part, kills, broker, () -> harm.once(opercle));
    }
  }

  private interface Strike {
    void once() throws Exception;
  }

  private void underFire(String part, int kills, URI broker, Strike strike) throws Exception {
    int sent;
    try (MqttLink probes = MqttLink.open(MqttSettings.of(broker, "probes"))) {
      Publisher publisher = new Publisher(probes, enough);
      Thread publishing = new Thread(publisher, "publishing");
      publishing.start();
      for (int kill = 1; kill <= kills; kill++) {
        // From the first moment after the start to two seconds of steady work.
        var unused = enough.await(random.nextInt(2000), TimeUnit.MILLISECONDS);
        strike.once();
        if (kill % 10 == 0) {
          System.out.printf("%s: %d times, %d readings sent%n", part, kill, publisher.sent());
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
    long twice = countedTwice();
    System.out.printf(
        Locale.ROOT,
        "%s: %d times, %d readings sent, %d acknowledged to their publisher; of these %d are not in"
            + " the store, and %d more are counted in its minutes than there are%n",
        part,
        kills,
        sent,
        acknowledged.cardinality(),
        missing,
        twice);
    if ((missing > 0 && !part.equals("mosquitto")) || twice != 0 || failed.get() > 0) {
      throw new AssertionError(
          "lost readings: %d, twice: %d, refused: %d".formatted(missing, twice, failed.get()));
    }
  }

  private String describe(String more) throws IOException {
    StringBuilder yaml = new StringBuilder("farm: Sallowmere\ntanks:\n");
    for (int i = 0; i < TANKS; i++) {
      yaml.append(
          "  - { id: h%d, kind: holding, waterLitres: 1500, supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 } }%n"
              .formatted(i));
    }
    Files.writeString(folder.resolve("farm.yaml"), yaml);
    Path config = folder.resolve("opercle.yaml");
    Files.writeString(config, "farm: farm.yaml\ndashboard: { port: 0 }\n" + more);
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

  /**
   * How many more readings the minutes were made of than there are: no reading can have two rows,
   * but one that came again may have been counted again.
   */
  private long countedTwice() {
    long[] twice = new long[1];
    try {
      Awaitility.await("all minutes written")
          .atMost(Duration.ofMinutes(1))
          .pollInterval(Duration.ofSeconds(2))
          .until(
              () -> (twice[0] = store().countedInMinutes() - store().stored().cardinality()) == 0);
    } catch (ConditionTimeoutException e) {
      System.out.println(e.getMessage());
    }
    return twice[0];
  }

  private StoreUnderFire store() {
    return new StoreUnderFire(folder, influx, start);
  }

  private int missing() {
    BitSet missing = new BitSet();
    missing.or(acknowledged);
    missing.andNot(store().stored());
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
