// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static org.junit.jupiter.api.Assertions.fail;
import static org.junit.jupiter.api.Assumptions.abort;

import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.awaitility.Awaitility;

/**
 * A real Mosquitto as a process of its own on a free loopback port, for tests. Where the program is
 * not installed, the test is skipped with that reason; with the environment variable {@code
 * OPERCLE_REQUIRE_SERVICES=1} it fails instead.
 */
public final class LocalMosquitto implements TestBroker {

  private static final List<String> FOLDERS =
      List.of("/usr/sbin", "/usr/bin", "/usr/local/sbin", "/usr/local/bin", "/opt/homebrew/sbin");

  private static final String LOOPBACK = "127.0.0.1";

  private final Path config;
  private final String host;
  private final int port;
  private final List<String> before;
  private Process process;

  private LocalMosquitto(Path config, String host, int port, List<String> before)
      throws IOException {
    this.config = config;
    this.host = host;
    this.port = port;
    this.before = before;
    this.process = launch();
  }

  /** Starts it with unlimited queues, for anybody, keeping nothing over a kill. */
  public static LocalMosquitto start(Path folder) throws IOException {
    return start(folder, freePort());
  }

  /** As {@link #start(Path)} on a port of the caller's choice, with further lines of settings. */
  public static LocalMosquitto start(Path folder, int port, String... moreSettings)
      throws IOException {
    return startAt(folder, LOOPBACK, port, List.of(), moreSettings);
  }

  /**
   * The same on another address, which may be in a network of its own.
   *
   * @param before what to run it by, such as {@code ip netns exec NAME}
   */
  public static LocalMosquitto startAt(
      Path folder, String host, int port, List<String> before, String... moreSettings)
      throws IOException {
    List<String> lines = new ArrayList<>();
    lines.add("listener %s %s".formatted(String.valueOf(port), host));
    lines.add("allow_anonymous true");
    lines.add("max_queued_messages 0");
    lines.add("persistence false");
    lines.add("log_type none");
    lines.add("user " + System.getProperty("user.name"));
    lines.addAll(List.of(moreSettings));
    Path config = Files.write(folder.resolve("mosquitto-%d.conf".formatted(port)), lines);
    return new LocalMosquitto(config, host, port, before);
  }

  /** A TCP port that is free on the loopback address just now. */
  public static int freePort() throws IOException {
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return socket.getLocalPort();
    }
  }

  /** Publishes with the real {@code mosquitto_pub} at QoS 1; waits until it has done so. */
  public static void publish(URI broker, String topic, String payload, String... moreArguments)
      throws IOException, InterruptedException {
    List<String> command = new ArrayList<>();
    command.add(program("mosquitto_pub").toString());
    command.addAll(List.of("-h", broker.getHost(), "-p", String.valueOf(broker.getPort())));
    command.addAll(List.of("-q", "1", "-t", topic, "-m", payload));
    command.addAll(List.of(moreArguments));
    Process publisher = new ProcessBuilder(command).inheritIO().start();
    if (!publisher.waitFor(20, TimeUnit.SECONDS) || publisher.exitValue() != 0) {
      publisher.destroyForcibly();
      fail("mosquitto_pub could not publish on " + topic);
    }
  }

  private static Path program(String name) {
    Optional<Path> found =
        Stream.concat(
                FOLDERS.stream(),
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

  private Process launch() throws IOException {
    List<String> command = new ArrayList<>(before);
    command.addAll(List.of(program("mosquitto").toString(), "-c", config.toString()));
    Process started =
        new ProcessBuilder(command)
            .redirectErrorStream(true)
            .redirectOutput(Path.of(config + ".log").toFile())
            .start();
    Awaitility.await("mosquitto on port " + port)
        .atMost(Duration.ofSeconds(20))
        .pollInterval(Duration.ofMillis(20))
        .failFast("mosquitto has ended", () -> !started.isAlive())
        .until(() -> answers(host, port));
    return started;
  }

  /** Whether somebody listens to a loopback port. */
  public static boolean answers(int port) {
    return answers(LOOPBACK, port);
  }

  private static boolean answers(String host, int port) {
    try (Socket socket = new Socket()) {
      socket.connect(new InetSocketAddress(host, port), 500);
      return true;
    } catch (IOException e) {
      return false;
    }
  }

  @Override
  public URI uri() {
    return URI.create("tcp://" + host + ":" + port);
  }

  @Override
  public void kill() throws InterruptedException {
    process.destroyForcibly().waitFor();
  }

  @Override
  public void restart() throws IOException {
    process = launch();
  }

  @Override
  public void close() {
    process.destroyForcibly();
  }
}
