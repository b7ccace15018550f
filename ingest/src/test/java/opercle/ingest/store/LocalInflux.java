// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import static org.junit.jupiter.api.Assertions.fail;
import static org.junit.jupiter.api.Assumptions.abort;

import java.io.IOException;
import java.io.InputStream;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Objects;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import opercle.ingest.TestCertificate;
import opercle.ingest.mqtt.LocalMosquitto;
import org.awaitility.Awaitility;

/**
 * A real InfluxDB 1.x as a process of its own on free loopback ports, behind a real nginx that
 * gives it the write address of later versions, for tests. Where a program is not installed, the
 * test is skipped with that reason; with the environment variable {@code
 * OPERCLE_REQUIRE_SERVICES=1} it fails instead.
 */
public final class LocalInflux implements AutoCloseable {

  /** What it wants for a token. */
  public static final String TOKEN = "opercle:not-a-secret";

  /** With this one, or one that begins so, it takes what is written, and answers no question. */
  static final String WRITE_ONLY_TOKEN = "opercle-write:not-a-secret";

  /** A database that is there. */
  public static final String DATABASE = "opercle";

  private final Path folder;
  private final int influxPort;
  private final int nginxPort;
  private final Optional<TestCertificate> certificate;
  private final HttpClient http = HttpClient.newHttpClient();
  private Process influxd;
  private final Process nginx;

  private LocalInflux(
      Path folder, int influxPort, int nginxPort, Optional<TestCertificate> certificate)
      throws IOException {
    this.folder = folder;
    this.certificate = certificate;
    this.influxPort = influxPort;
    this.nginxPort = nginxPort;
    this.influxd = launchInflux();
    this.nginx = launchNginx();
  }

  /** Starts it with an empty database {@link #DATABASE}. */
  public static LocalInflux start(Path parent) throws IOException, InterruptedException {
    return start(parent, Optional.empty());
  }

  /** The same over TLS only. */
  static LocalInflux start(Path parent, Optional<TestCertificate> certificate)
      throws IOException, InterruptedException {
    Path folder = Files.createDirectories(parent.resolve("influx"));
    LocalInflux influx =
        new LocalInflux(folder, LocalMosquitto.freePort(), LocalMosquitto.freePort(), certificate);
    var unused = influx.query("", "CREATE DATABASE " + DATABASE);
    return influx;
  }

  /** Where it answers. */
  public URI url() {
    return URI.create((certificate.isPresent() ? "https" : "http") + "://127.0.0.1:" + nginxPort);
  }

  InfluxSettings settings() {
    InfluxSettings.Place place = InfluxSettings.Place.of(DATABASE, DATABASE);
    return new InfluxSettings(url(), "-", place, place, Optional.of(TOKEN), Optional.empty());
  }

  /**
   * The same with a token that may write only.
   *
   * @param how it is told so: nothing for 403, {@code -unauthorized} and {@code -policy} for an
   *     error with status 200; {@code -unavailable} for 503, which may pass
   */
  InfluxSettings settingsToWrite(String how) {
    InfluxSettings.Place place = InfluxSettings.Place.of(DATABASE, DATABASE);
    return new InfluxSettings(
        url(), "-", place, place, Optional.of(WRITE_ONLY_TOKEN + how), Optional.empty());
  }

  /** What InfluxDB answers to a query, as CSV. */
  public String query(String database, String query) throws IOException, InterruptedException {
    String address =
        "http://127.0.0.1:%s/query?db=%s&epoch=ms&q=%s"
            .formatted(
                String.valueOf(influxPort),
                database,
                URLEncoder.encode(query, StandardCharsets.UTF_8));
    return http.send(
            HttpRequest.newBuilder(URI.create(address))
                .header("Accept", "application/csv")
                .POST(HttpRequest.BodyPublishers.noBody())
                .build(),
            HttpResponse.BodyHandlers.ofString())
        .body();
  }

  /** How many points a measurement has. */
  public long points(String measurement) throws IOException, InterruptedException {
    String field = measurement.equals("opercle_minute") ? "count" : "value";
    String csv = query(DATABASE, "SELECT count(\"%s\") FROM \"%s\"".formatted(field, measurement));
    String[] lines = csv.strip().split("\n", -1);
    return lines.length < 2 ? 0 : Long.parseLong(lines[1].substring(lines[1].lastIndexOf(',') + 1));
  }

  /**
   * The readings that the minutes were made of; more than there are where one was counted twice.
   *
   * @param where a condition, or nothing
   */
  public long countedInMinutes(String where) throws IOException, InterruptedException {
    String csv = query(DATABASE, "SELECT sum(\"count\") FROM opercle_minute" + where);
    String[] lines = csv.strip().split("\n", -1);
    return lines.length < 2
        ? 0
        : (long) Double.parseDouble(lines[1].substring(lines[1].lastIndexOf(',') + 1));
  }

  /** The times of a measurement's values, ms since 1970, where the condition holds. */
  public long[] times(String measurement, String where) throws IOException, InterruptedException {
    String csv =
        query(DATABASE, "SELECT \"value\" FROM \"%s\" WHERE %s".formatted(measurement, where));
    return csv.lines()
        .map(line -> line.split(",", -1))
        .filter(cells -> cells.length > 3 && !cells[2].equals("time"))
        .mapToLong(cells -> Long.parseLong(cells[2]))
        .toArray();
  }

  private Process launchInflux() throws IOException {
    Path program = program("influxd");
    Path config =
        Files.writeString(
            folder.resolve("influxd.conf"),
            """
            reporting-disabled = true
            bind-address = "127.0.0.1:%s"
            [meta]
            dir = "%s/meta"
            [data]
            dir = "%s/data"
            wal-dir = "%s/wal"
            query-log-enabled = false
            [monitor]
            store-enabled = false
            [http]
            bind-address = "127.0.0.1:%s"
            log-enabled = false
            [logging]
            level = "warn"
            """
                .formatted(
                    String.valueOf(LocalMosquitto.freePort()),
                    folder,
                    folder,
                    folder,
                    String.valueOf(influxPort)));
    Process started = launch(folder.resolve("influxd.log"), program.toString(), "-config", config);
    awaitAnswer("influxd", started, "http://127.0.0.1:" + influxPort + "/ping");
    return started;
  }

  private Process launchNginx() throws IOException {
    Path program = program("nginx");
    String template;
    try (InputStream in =
        Objects.requireNonNull(LocalInflux.class.getResourceAsStream("/influx/nginx.conf"))) {
      template = new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
    Path config =
        Files.writeString(
            folder.resolve("nginx.conf"),
            template
                .replace("{listen}", "127.0.0.1:" + nginxPort + tls())
                .replace("{influxd}", "127.0.0.1:" + influxPort)
                .replace("{token}", TOKEN)
                .replace("{writeOnlyToken}", WRITE_ONLY_TOKEN)
                .replace("{folder}", folder.toString()));
    Process started =
        launch(
            folder.resolve("nginx.out"),
            program.toString(),
            "-p",
            folder,
            "-e",
            folder.resolve("nginx.log"),
            "-c",
            config);
    Awaitility.await("nginx on port " + nginxPort)
        .atMost(Duration.ofSeconds(20))
        .pollInterval(Duration.ofMillis(20))
        .failFast("nginx has ended", () -> !started.isAlive())
        .until(() -> LocalMosquitto.answers(nginxPort));
    return started;
  }

  private String tls() {
    return certificate
        .map(
            c ->
                " ssl; ssl_certificate %s; ssl_certificate_key %s"
                    .formatted(c.certificate(), c.key()))
        .orElse("");
  }

  private static Process launch(Path log, Object... command) throws IOException {
    return new ProcessBuilder(Stream.of(command).map(Object::toString).toList())
        .redirectErrorStream(true)
        .redirectOutput(ProcessBuilder.Redirect.appendTo(log.toFile()))
        .start();
  }

  private void awaitAnswer(String name, Process process, String address) {
    HttpRequest ping =
        HttpRequest.newBuilder(URI.create(address)).timeout(Duration.ofSeconds(2)).build();
    Awaitility.await(name + " at " + address)
        .atMost(Duration.ofSeconds(60))
        .pollInterval(Duration.ofMillis(50))
        .ignoreExceptions()
        .failFast(name + " has ended", () -> !process.isAlive())
        .until(() -> http.send(ping, HttpResponse.BodyHandlers.discarding()).statusCode() > 0);
  }

  private static Path program(String name) {
    Optional<Path> found =
        Stream.concat(
                Stream.of("/usr/bin", "/usr/sbin", "/usr/local/bin", "/usr/local/sbin"),
                Stream.of(System.getenv().getOrDefault("PATH", "").split(":", -1)))
            .map(folder -> Path.of(folder, name))
            .filter(Files::isExecutable)
            .findFirst();
    if (found.isEmpty()) {
      String reason = name + " is not installed";
      if ("1".equals(System.getenv("OPERCLE_REQUIRE_SERVICES"))) {
        fail(reason + ", and OPERCLE_REQUIRE_SERVICES=1");
      }
      abort(reason);
    }
    return found.orElseThrow();
  }

  /** Kills InfluxDB outright; nginx goes on and answers that it is not there. */
  public void kill() throws InterruptedException {
    influxd.destroyForcibly().waitFor();
  }

  /** Starts it again with what it had. */
  public void restart() throws IOException {
    influxd = launchInflux();
  }

  @Override
  public void close() {
    nginx.destroyForcibly();
    influxd.destroyForcibly();
    try {
      // Else the folder is emptied while it is still being written to.
      boolean unused = influxd.waitFor(10, TimeUnit.SECONDS) && nginx.waitFor(10, TimeUnit.SECONDS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
