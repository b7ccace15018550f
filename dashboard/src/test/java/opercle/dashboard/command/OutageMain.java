// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.IOException;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import opercle.ingest.mqtt.LocalMosquitto;
import opercle.ingest.store.LocalInflux;

/**
 * Not a test: takes the broker or the InfluxDB from a running farm of twelve tanks at one reading a
 * second for as long as is asked, and tells what a keeper saw of it, how fast pages and addresses
 * answered, that all came back by itself, and that every reading that was acknowledged to its probe
 * is in the store once.
 *
 * <p>Arguments: {@code broker}, {@code influxdb}, or {@code network}: the broker is then on another
 * machine, a network namespace, and the cable to it is cut both ways; for how many minutes, 60
 * without; {@code apart} for {@code ingest}, {@code analyse} and {@code dashboard} in place of
 * {@code serve}. System property {@code opercle.jar}: the packed jar.
 */
final class OutageMain {

  private static final Duration STEADY = Duration.ofSeconds(45);
  private static final Duration PATIENCE = Duration.ofMinutes(10);

  private final Path folder;
  private final LocalMosquitto broker;
  private final LocalInflux influx;
  private final WebhookReceiver receiver;
  private final List<OpercleProcess> processes = new ArrayList<>();

  private OutageMain(
      Path folder, LocalMosquitto broker, LocalInflux influx, WebhookReceiver receiver) {
    this.folder = folder;
    this.broker = broker;
    this.influx = influx;
    this.receiver = receiver;
  }

  public static void main(String[] args) throws Exception {
    String away = args.length > 0 ? args[0] : "broker";
    double minutes = args.length > 1 ? Double.parseDouble(args[1]) : 60.0;
    boolean apart = args.length > 2 && args[2].equals("apart");
    if (!List.of("broker", "influxdb", "network").contains(away)) {
      throw new IllegalArgumentException("broker, influxdb or network, not " + away);
    }
    Path folder = Files.createTempDirectory("opercle-outage");
    try (LocalInflux influx = LocalInflux.start(folder);
        WebhookReceiver receiver = new WebhookReceiver()) {
      if (away.equals("network")) {
        try (OtherMachine far = OtherMachine.start();
            LocalMosquitto broker = broker(folder, OtherMachine.ADDRESS, far.before())) {
          new OutageMain(folder, broker, influx, receiver)
              .run("network", far::cut, far::mend, minutes, apart);
        }
        return;
      }
      try (LocalMosquitto broker = broker(folder, "127.0.0.1", List.of())) {
        boolean isBroker = away.equals("broker");
        new OutageMain(folder, broker, influx, receiver)
            .run(
                away,
                isBroker ? broker::kill : influx::kill,
                isBroker ? broker::restart : influx::restart,
                minutes,
                apart);
      }
    }
  }

  private static LocalMosquitto broker(Path folder, String host, List<String> before)
      throws IOException {
    return LocalMosquitto.startAt(
        folder,
        host,
        LocalMosquitto.freePort(),
        before,
        "persistence true",
        "persistence_location " + folder + "/",
        "autosave_interval 1");
  }

  /** What is done to a part. */
  private interface Act {
    void now() throws Exception;
  }

  private void run(String away, Act take, Act giveBack, double minutes, boolean apart)
      throws Exception {
    String config = describe();
    for (String command : apart ? List.of("ingest", "analyse", "dashboard") : List.of("serve")) {
      processes.add(OpercleProcess.start(command, "--config", config));
    }
    URI pages = processes.get(processes.size() - 1).pages();
    try (SteadyProbes probes = new SteadyProbes(broker.uri());
        KeeperLook look = new KeeperLook(pages, receiver)) {
      await("twelve tanks heard", PATIENCE, look::allTanksHeard);
      await("all is well", PATIENCE, look::allIsWell);
      pause(STEADY);
      System.out.printf(
          "-- %s away for %s min; %s%n", away, minutes, apart ? "services apart" : "serve");
      look.from("away");
      tellMemory();
      long acknowledgedBefore = probes.acknowledged();
      take.now();
      pause(Duration.ofMillis((long) (minutes * 60_000)));
      System.out.printf(
          "-- back; readings acknowledged before %d, at the end of the outage %d of %d made%n",
          acknowledgedBefore, probes.acknowledged(), probes.made());
      tellMemory();
      look.tellFigures();
      look.from("back");
      long back = System.nanoTime();
      giveBack.now();
      comesBack(back, probes, look);
      pause(STEADY);
      look.tellFigures();
    } finally {
      for (OpercleProcess process : processes) {
        process.close();
      }
    }
    tellLogs();
  }

  private void comesBack(long back, SteadyProbes probes, KeeperLook look) throws Exception {
    await("the address for readiness says so", PATIENCE, look::isReady);
    tell(back, "ready again");
    await("fresh readings of all tanks", PATIENCE, look::allTanksHeard);
    tell(back, "fresh readings of all twelve tanks on the pages");
    await("what waited at the probes", PATIENCE, () -> probes.waiting() < 2 * SteadyProbes.TANKS);
    tell(back, "what waited at the probes is acknowledged");
    await("no trouble on the pages", PATIENCE, look::allIsWell);
    tell(back, "no trouble on the pages any more");
    probes.stop();
    await("the last acknowledgement", PATIENCE, () -> probes.waiting() == 0);
    StoredOnce stored = new StoredOnce(influx, probes);
    await("all in the InfluxDB", PATIENCE, () -> stored.missing() == 0);
    tell(back, "every acknowledged reading is in the InfluxDB");
    await(
        "all in its minutes",
        Duration.ofMinutes(1),
        () -> stored.countedInMinutes() >= probes.acknowledged());
    System.out.printf(
        "-- %d readings acknowledged to their probes, %d points in the store, %d missing, "
            + "minutes count %d%n",
        probes.acknowledged(), stored.points(), stored.missing(), stored.countedInMinutes());
    if (stored.missing() > 0
        || stored.points() != probes.acknowledged()
        || stored.countedInMinutes() != probes.acknowledged()) {
      throw new AssertionError("not each once");
    }
  }

  private static void tell(long since, String what) {
    System.out.printf("   %.1f s after: %s%n", (System.nanoTime() - since) / 1e9, what);
  }

  private void tellMemory() throws IOException {
    for (OpercleProcess process : processes) {
      System.out.printf("   resident: %d MB%n", process.residentBytes() / 1_000_000);
    }
  }

  /** Nothing that a log should not hold, and how much it holds. */
  private void tellLogs() {
    for (OpercleProcess process : processes) {
      List<String> lines = process.lines();
      System.out.printf(
          "-- log: %d lines, %d warnings, %d errors, %d lines of stack traces%n",
          lines.size(),
          lines.stream().filter(l -> l.contains(" WARN ")).count(),
          lines.stream().filter(l -> l.contains(" ERROR ")).count(),
          lines.stream().filter(l -> l.startsWith("\tat ")).count());
      lines.stream()
          .filter(l -> l.contains(" WARN ") || l.contains(" ERROR "))
          .filter(l -> !l.contains("alarm"))
          .limit(12)
          .forEach(l -> System.out.println("   " + l));
    }
  }

  private String describe() throws IOException {
    StringBuilder yaml = new StringBuilder("farm: Sallowmere\ntanks:\n");
    for (int i = 0; i < SteadyProbes.TANKS; i++) {
      yaml.append(
          """
            - id: h%d
              name: Holding %d
              kind: holding
              waterLitres: 1500
              supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
              load: { species: tench, kg: 40, count: 60 }
          """
              .formatted(i, i));
    }
    Files.writeString(folder.resolve("farm.yaml"), yaml);
    Files.writeString(folder.resolve("token.txt"), LocalInflux.TOKEN + "\n");
    Path config = folder.resolve("opercle.yaml");
    Files.writeString(
        config,
        """
        farm: farm.yaml
        dashboard: { port: 0 }
        mqtt: { broker: "%s" }
        store:
          influxdb: { url: "%s", bucket: %s, tokenFile: token.txt }
        people: [ { name: Maren, channels: [ webhook: { url: "%s" } ] } ]
        calling: { test: { every: never } }
        """
            .formatted(broker.uri(), influx.url(), LocalInflux.DATABASE, receiver.url()));
    return config.toString();
  }

  private static void await(String what, Duration atMost, BooleanSupplier condition) {
    org.awaitility.Awaitility.await(what)
        .atMost(atMost)
        .pollInterval(Duration.ofMillis(200))
        .until(condition::getAsBoolean);
  }

  private static void pause(Duration time) throws InterruptedException {
    var unused = new CountDownLatch(1).await(time.toMillis(), TimeUnit.MILLISECONDS);
  }
}
