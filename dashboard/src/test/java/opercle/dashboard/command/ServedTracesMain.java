// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.publish.TankAct;
import opercle.analysis.watch.TankState;
import opercle.dashboard.web.DashboardServer;
import opercle.dashboard.web.DashboardSettings;
import opercle.dashboard.web.LiveFarm;
import opercle.dashboard.web.NotTaken;
import opercle.dashboard.web.PastAlarms;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.store.SqliteReadings;

/**
 * How long the three traces of a tank's page take to come over HTTP, for a day and for a month of
 * readings at one a second; the file is made anew in the folder for temporary files.
 *
 * <p>{@code java -cp <test class path of dashboard> opercle.dashboard.command.ServedTracesMain}
 */
public final class ServedTracesMain {

  private static final Instant END = Instant.parse("2026-03-14T02:00:00Z");
  private static final int DAYS = 30;
  private static final int ROUNDS = 21;
  private static final List<Quantity> TRACES =
      List.of(Quantity.OXYGEN, Quantity.TEMPERATURE, Quantity.GAS_FLOW);

  private ServedTracesMain() {}

  /** Takes no arguments. */
  public static void main(String[] arguments) throws IOException, InterruptedException {
    Path folder = Files.createTempDirectory("opercle-served");
    try (SqliteReadings store = SqliteReadings.open(folder.resolve("readings.db"))) {
      fill(store);
      try (DashboardServer server =
          DashboardServer.start(
              DashboardSettings.onLoopback(0),
              new OneTank(),
              new StoredTraces(store),
              PastAlarms.NONE)) {
        for (Duration span : List.of(Duration.ofDays(1), Duration.ofDays(DAYS))) {
          time(server.port(), span);
        }
      }
    }
  }

  private static void fill(SqliteReadings store) {
    for (long second = -DAYS * 86_400L; second < 0; second += 3600) {
      for (Quantity quantity : TRACES) {
        List<Reading> batch = new ArrayList<>(3600);
        for (int i = 0; i < 3600; i++) {
          Instant time = END.plusSeconds(second + i);
          double value = 8.0 + Math.sin((double) time.getEpochSecond());
          batch.add(new Reading("h1", quantity, "1", time, value));
        }
        store.accept(batch);
      }
    }
  }

  private static void time(int port, Duration span) throws IOException, InterruptedException {
    HttpClient client = HttpClient.newHttpClient();
    double[] millis = new double[ROUNDS];
    long bytes = 0;
    for (int round = 0; round < ROUNDS; round++) {
      long start = System.nanoTime();
      bytes = 0;
      for (Quantity quantity : TRACES) {
        URI address =
            URI.create(
                "http://127.0.0.1:%d/api/v1/tanks/h1/trace?quantity=%s&points=1000&from=%s&to=%s"
                    .formatted(port, quantity.id(), END.minus(span), END));
        bytes +=
            client
                .send(HttpRequest.newBuilder(address).build(), BodyHandlers.ofByteArray())
                .body()
                .length;
      }
      millis[round] = (System.nanoTime() - start) / 1e6;
    }
    double first = millis[0];
    Arrays.sort(millis);
    System.out.println(
        String.format(
            Locale.ROOT,
            "%s: three traces one after the other, %d kB: first %.0f ms, median %.0f ms, most %.0f ms",
            span,
            bytes / 1024,
            first,
            millis[ROUNDS / 2],
            millis[ROUNDS - 1]));
  }

  /** A farm of one tank, of which nobody says anything. */
  private static final class OneTank implements LiveFarm {

    private final Tank tank =
        new Tank(
            "h1",
            "Holding 1",
            Tank.Kind.HOLDING,
            1500,
            0.8,
            new Tank.Supply(
                Tank.Gas.AIR, Tank.Source.BLOWER, Tank.Diffuser.POROUS_HOSE, 45, Optional.empty()),
            List.of(),
            Optional.empty());

    @Override
    public Farm farm() {
      return new Farm("Sallowmere", 40, List.of(tank));
    }

    @Override
    public Instant now() {
      return END;
    }

    @Override
    public List<TankState> states() {
      return List.of();
    }

    @Override
    public void perform(TankAct act) {
      throw new UnsupportedOperationException("nobody acts here");
    }

    @Override
    public NotTaken notTaken() {
      return NotTaken.NOTHING;
    }

    @Override
    public List<String> troubles() {
      return List.of();
    }
  }
}
