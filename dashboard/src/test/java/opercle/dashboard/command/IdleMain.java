// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.IOException;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Locale;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import opercle.ingest.mqtt.LocalMosquitto;
import org.awaitility.Awaitility;

/**
 * Not a test: what an idle farm of twelve tanks at one reading a second takes with the settings
 * that are shipped: {@code serve} with everything in it, nobody looking on. Arguments: seconds to
 * let it settle, 120 without; seconds to measure, 120 without. System property {@code opercle.jar}:
 * the packed jar; where {@code opercle --prepare} was run beside it, that counts.
 */
final class IdleMain {

  private IdleMain() {}

  public static void main(String[] args) throws Exception {
    Duration settling = Duration.ofSeconds(args.length > 0 ? Long.parseLong(args[0]) : 120);
    Duration measuring = Duration.ofSeconds(args.length > 1 ? Long.parseLong(args[1]) : 120);
    System.out.println(measured(Files.createTempDirectory("opercle-idle"), settling, measuring));
  }

  /**
   * What was measured.
   *
   * @param firstPage from the start to the first page
   * @param worked how long processors worked until then
   * @param shareOfACore from 0
   * @param residentBytes at the end
   */
  record Figures(Duration firstPage, Duration worked, double shareOfACore, long residentBytes) {
    @Override
    public String toString() {
      return String.format(
          Locale.ROOT,
          "first page after %.1f s (%.1f s of processor time), %.1f %% of one core, %d MB resident",
          firstPage.toMillis() / 1e3,
          worked.toMillis() / 1e3,
          100 * shareOfACore,
          residentBytes / 1_000_000);
    }
  }

  static Figures measured(Path folder, Duration settling, Duration measuring) throws Exception {
    int port = LocalMosquitto.freePort();
    int pages = LocalMosquitto.freePort();
    String config = describe(folder, port, pages);
    long begun = System.nanoTime();
    try (OpercleProcess opercle = OpercleProcess.startShipped("serve", "--config", config)) {
      URI page = URI.create("http://127.0.0.1:" + pages + "/");
      Awaitility.await("the first page")
          .atMost(Duration.ofMinutes(3))
          .pollInterval(Duration.ofMillis(20))
          .ignoreExceptions()
          .until(() -> opercle.status(page) == 200);
      Duration firstPage = Duration.ofNanos(System.nanoTime() - begun);
      Duration worked = opercle.processorTime();
      try (SteadyProbes probes = new SteadyProbes(URI.create("tcp://127.0.0.1:" + port))) {
        pause(settling);
        Duration before = opercle.processorTime();
        long start = System.nanoTime();
        pause(measuring);
        double share =
            opercle.processorTime().minus(before).toNanos() / (double) (System.nanoTime() - start);
        if (probes.acknowledged() < SteadyProbes.TANKS * settling.toSeconds() / 2) {
          throw new IllegalStateException("it took no readings");
        }
        return new Figures(firstPage, worked, share, opercle.residentBytes());
      }
    }
  }

  private static String describe(Path folder, int port, int pages) throws IOException {
    StringBuilder yaml = new StringBuilder("farm: Sallowmere\ntanks:\n");
    for (int i = 0; i < SteadyProbes.TANKS; i++) {
      yaml.append(
          """
            - id: h%d
              kind: holding
              waterLitres: 1500
              supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
              load: { species: tench, kg: 40, count: 60 }
          """
              .formatted(i));
    }
    Files.writeString(folder.resolve("farm.yaml"), yaml);
    return Files.writeString(
            folder.resolve("opercle.yaml"),
            "farm: farm.yaml\nmqtt: { port: %d }\ndashboard: { port: %d }\n".formatted(port, pages))
        .toString();
  }

  private static void pause(Duration time) throws InterruptedException {
    var unused = new CountDownLatch(1).await(time.toMillis(), TimeUnit.MILLISECONDS);
  }
}
