// SPDX-License-Identifier: Apache-2.0
package opercle.ingest;

import static org.junit.jupiter.api.Assertions.fail;
import static org.junit.jupiter.api.Assumptions.abort;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Consumer;
import java.util.stream.Stream;
import opercle.ingest.mqtt.LocalMosquitto;
import org.awaitility.Awaitility;
import org.jspecify.annotations.Nullable;

/**
 * A real PostgreSQL as a process of its own on a free loopback port, for tests. Its names sort by
 * the rules of English, not by their bytes, as they do on many servers. Where the program is not
 * installed, the test is skipped with that reason; with the environment variable {@code
 * OPERCLE_REQUIRE_SERVICES=1} it fails instead.
 */
public final class LocalPostgres implements AutoCloseable {

  /** Who owns the databases, without any other right. */
  public static final String USER = "opercle";

  /** That user's password. */
  public static final String PASSWORD = "opercle-not-a-secret";

  private static final String ADMINISTRATOR = "postgres";
  private static final AtomicInteger DATABASES = new AtomicInteger();
  private static @Nullable LocalPostgres shared;

  private final Path programs;
  private final Path folder;
  private final int port;
  private Process server;
  private @Nullable String prepared;

  private LocalPostgres(Path programs, Path folder, int port, boolean durable)
      throws IOException, InterruptedException {
    this.programs = programs;
    this.folder = folder;
    this.port = port;
    initialise(durable);
    this.server = launch();
  }

  /** Starts one of its own, to be killed. */
  public static LocalPostgres start() throws IOException, InterruptedException {
    return start(Optional.empty(), true);
  }

  /** The same that also takes connections over TLS. */
  public static LocalPostgres start(TestCertificate certificate)
      throws IOException, InterruptedException {
    return start(Optional.of(certificate), false);
  }

  private static LocalPostgres start(Optional<TestCertificate> certificate, boolean durable)
      throws IOException, InterruptedException {
    Path programs = programs();
    Path folder = Files.createTempDirectory("local-postgres");
    LocalPostgres postgres =
        new LocalPostgres(programs, folder, LocalMosquitto.freePort(), durable);
    if (certificate.isPresent()) {
      postgres.certify(certificate.get());
    }
    postgres.administer("CREATE ROLE %s LOGIN PASSWORD '%s'".formatted(USER, PASSWORD), "postgres");
    return postgres;
  }

  /** The one that all tests of this process use that do not kill it. */
  public static synchronized LocalPostgres shared() throws IOException, InterruptedException {
    if (shared == null) {
      LocalPostgres started = start(Optional.empty(), false);
      Runtime.getRuntime().addShutdownHook(new Thread(started::close, "local-postgres-end"));
      shared = started;
    }
    return shared;
  }

  /** Its port on the loopback address. */
  public int port() {
    return port;
  }

  /** Makes an empty database that {@link #USER} owns, and gives its name. */
  public String newDatabase() throws IOException, InterruptedException {
    return newDatabase("template1");
  }

  /**
   * The same with tables in it, which are quicker copied than made.
   *
   * @param preparation makes them in the database of that name, once, and leaves it
   */
  public synchronized String newDatabase(Consumer<String> preparation)
      throws IOException, InterruptedException {
    if (prepared == null) {
      String made = newDatabase();
      preparation.accept(made);
      prepared = made;
    }
    return newDatabase(prepared);
  }

  private String newDatabase(String like) throws IOException, InterruptedException {
    String name = "book_" + DATABASES.incrementAndGet();
    administer("CREATE DATABASE %s OWNER %s TEMPLATE %s".formatted(name, USER, like), "postgres");
    return name;
  }

  /** What it answers to a question of its administrator, without headings. */
  public String administer(String sql, String database) throws IOException, InterruptedException {
    ProcessBuilder psql =
        new ProcessBuilder(
            programs.resolve("psql").toString(),
            "--no-psqlrc",
            "--tuples-only",
            "--no-align",
            "--set=ON_ERROR_STOP=1",
            "--host=127.0.0.1",
            "--port=" + port,
            "--username=" + ADMINISTRATOR,
            "--command=" + sql,
            database);
    psql.environment().put("PGPASSWORD", PASSWORD);
    return run(psql);
  }

  /** Kills all of it outright, as a machine that loses its power does. */
  public void kill() throws InterruptedException {
    List<ProcessHandle> all = processes();
    all.forEach(ProcessHandle::destroyForcibly);
    server.waitFor();
    Awaitility.await("the end of PostgreSQL")
        .atMost(Duration.ofSeconds(20))
        .pollInterval(Duration.ofMillis(10))
        .until(() -> all.stream().noneMatch(ProcessHandle::isAlive));
  }

  /** Stops all of it where it is: connections stay and nobody answers. */
  public void freeze() throws IOException, InterruptedException {
    signal("-STOP");
  }

  /** Lets it go on. */
  public void thaw() throws IOException, InterruptedException {
    signal("-CONT");
  }

  /** Starts it again with what it had on the disk. */
  public void restart() throws IOException {
    server = launch();
  }

  @Override
  public void close() {
    processes().forEach(ProcessHandle::destroyForcibly);
    try {
      boolean unused = server.waitFor(20, TimeUnit.SECONDS);
      // Thousands of files: not waited for.
      Process unusedRemoving = new ProcessBuilder("rm", "-rf", folder.toString()).start();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private List<ProcessHandle> processes() {
    return Stream.concat(server.descendants(), Stream.of(server.toHandle())).toList();
  }

  private void signal(String signal) throws IOException, InterruptedException {
    List<String> command = new ArrayList<>(List.of("kill", signal));
    processes().forEach(p -> command.add(String.valueOf(p.pid())));
    String unused = run(new ProcessBuilder(command));
  }

  private void initialise(boolean durable) throws IOException, InterruptedException {
    Path password = Files.writeString(folder.resolve("password"), PASSWORD);
    give(folder);
    give(password);
    String unused =
        run(
            asServer(
                "initdb",
                "--pgdata=" + data(),
                "--username=" + ADMINISTRATOR,
                "--pwfile=" + password,
                "--auth=scram-sha-256",
                "--encoding=UTF8",
                "--locale=C.UTF-8",
                "--locale-provider=icu",
                "--icu-locale=en",
                "--no-sync"));
    Files.writeString(
        data().resolve("postgresql.conf"),
        """
        listen_addresses = '127.0.0.1'
        port = %d
        unix_socket_directories = ''
        max_connections = 60
        fsync = %s
        """
            .formatted(port, durable ? "on" : "off"));
  }

  /** From the next start on, for everybody who asks. */
  private void certify(TestCertificate certificate) throws IOException, InterruptedException {
    copy(certificate.certificate(), "server.crt");
    copy(certificate.key(), "server.key");
    Files.writeString(
        data().resolve("postgresql.auto.conf"),
        "ssl = on\nssl_cert_file = 'server.crt'\nssl_key_file = 'server.key'\n");
    kill();
    restart();
  }

  private void copy(Path from, String name) throws IOException {
    Path to = data().resolve(name);
    Files.copy(from, to, StandardCopyOption.REPLACE_EXISTING);
    Files.setPosixFilePermissions(to, PosixFilePermissions.fromString("rw-------"));
    give(to);
  }

  private Path data() {
    return folder.resolve("data");
  }

  private Process launch() throws IOException {
    Path log = folder.resolve("postgres.log");
    Process started =
        asServer("postgres", "-D", data().toString())
            .redirectErrorStream(true)
            .redirectOutput(ProcessBuilder.Redirect.appendTo(log.toFile()))
            .start();
    Awaitility.await("PostgreSQL on port " + port)
        .atMost(Duration.ofSeconds(60))
        .pollInterval(Duration.ofMillis(20))
        .failFast("PostgreSQL has ended", () -> !started.isAlive())
        .until(this::isReady);
    return started;
  }

  private boolean isReady() throws IOException, InterruptedException {
    return new ProcessBuilder(
                programs.resolve("pg_isready").toString(),
                "--quiet",
                "--host=127.0.0.1",
                "--port=" + port)
            .start()
            .waitFor()
        == 0;
  }

  /** It refuses to run as root; then it runs as the user that its package has made. */
  private ProcessBuilder asServer(String program, String... arguments) {
    List<String> command = new ArrayList<>();
    if (isRoot()) {
      command.addAll(
          List.of(
              "setpriv",
              "--reuid=" + ADMINISTRATOR,
              "--regid=" + ADMINISTRATOR,
              "--clear-groups",
              "--"));
    }
    command.add(programs.resolve(program).toString());
    command.addAll(List.of(arguments));
    return new ProcessBuilder(command).directory(folder.toFile());
  }

  private static void give(Path file) throws IOException {
    if (isRoot()) {
      Files.setOwner(
          file,
          file.getFileSystem()
              .getUserPrincipalLookupService()
              .lookupPrincipalByName(ADMINISTRATOR));
    }
  }

  private static boolean isRoot() {
    return "root".equals(System.getProperty("user.name"));
  }

  private static String run(ProcessBuilder builder) throws IOException, InterruptedException {
    Process process = builder.redirectErrorStream(true).start();
    String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    if (!process.waitFor(60, TimeUnit.SECONDS) || process.exitValue() != 0) {
      process.destroyForcibly();
      fail(builder.command().get(0) + ": " + said);
    }
    return said.strip();
  }

  /** Debian keeps each version in a folder of its own. */
  private static Path programs() throws IOException {
    List<Path> folders = new ArrayList<>();
    Path versions = Path.of("/usr/lib/postgresql");
    if (Files.isDirectory(versions)) {
      try (Stream<Path> all = Files.list(versions)) {
        all.sorted(Comparator.reverseOrder()).forEach(v -> folders.add(v.resolve("bin")));
      }
    }
    Stream.of(System.getenv().getOrDefault("PATH", "").split(":", -1))
        .forEach(p -> folders.add(Path.of(p)));
    Optional<Path> found =
        folders.stream()
            .filter(f -> Files.isExecutable(f.resolve("postgres")))
            .filter(f -> Files.isExecutable(f.resolve("initdb")))
            .findFirst();
    if (found.isEmpty()) {
      String reason = "PostgreSQL is not installed";
      if ("1".equals(System.getenv("OPERCLE_REQUIRE_SERVICES"))) {
        fail(reason + ", and OPERCLE_REQUIRE_SERVICES=1");
      }
      abort(reason);
    }
    return found.orElseThrow();
  }
}
