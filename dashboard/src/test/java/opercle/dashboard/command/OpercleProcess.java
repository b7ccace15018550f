// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Objects;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.awaitility.Awaitility;
import org.jspecify.annotations.Nullable;

/** The packed jar as a process of its own, as people run it. */
final class OpercleProcess implements AutoCloseable {

  private static final Duration PATIENCE = Duration.ofSeconds(60);

  private final Process process;
  private final List<String> lines = Collections.synchronizedList(new ArrayList<>());
  private final HttpClient http = HttpClient.newHttpClient();

  private OpercleProcess(Process process) {
    this.process = process;
    gather(process.getInputStream(), "stdout");
    gather(process.getErrorStream(), "stderr");
  }

  static OpercleProcess start(String... arguments) throws IOException {
    return new OpercleProcess(builder(List.of(arguments)).start());
  }

  /** By the launcher that is shipped, with its settings. */
  static OpercleProcess startShipped(String... arguments) throws IOException {
    List<String> command = new ArrayList<>(List.of("sh", "dist/opercle"));
    command.addAll(List.of(arguments));
    ProcessBuilder builder = new ProcessBuilder(command);
    Path jar = Path.of(System.getProperty("opercle.jar")).toAbsolutePath();
    builder.environment().put("OPERCLE_JAR", jar.toString());
    builder
        .environment()
        .put("JAVA", Path.of(System.getProperty("java.home"), "bin", "java").toString());
    return new OpercleProcess(builder.start());
  }

  /** What a command that ends by itself has written. */
  record Outcome(int exitCode, String out, String err) {}

  static Outcome run(Path folder, String... arguments) throws IOException, InterruptedException {
    Path out = folder.resolve("out.txt");
    Path err = folder.resolve("err.txt");
    Process process =
        builder(List.of(arguments))
            .redirectOutput(out.toFile())
            .redirectError(err.toFile())
            .directory(folder.toFile())
            .start();
    if (!process.waitFor(60, TimeUnit.SECONDS)) {
      process.destroyForcibly();
      throw new IllegalStateException("did not end: " + List.of(arguments));
    }
    return new Outcome(process.exitValue(), Files.readString(out), Files.readString(err));
  }

  private static ProcessBuilder builder(List<String> arguments) {
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    command.add("-XX:TieredStopAtLevel=1"); // it lives for seconds: half the work of its start
    command.add("-jar");
    command.add(System.getProperty("opercle.jar"));
    command.addAll(arguments);
    return new ProcessBuilder(command);
  }

  private void gather(InputStream from, String name) {
    Thread thread =
        new Thread(
            () -> {
              try (BufferedReader reader =
                  new BufferedReader(new InputStreamReader(from, StandardCharsets.UTF_8))) {
                reader.lines().forEach(lines::add);
              } catch (IOException | UncheckedIOException e) {
                lines.add(name + " ended: " + e.getMessage());
              }
            },
            "opercle-" + name);
    thread.setDaemon(true);
    thread.start();
  }

  /** All lines of both outputs so far. */
  List<String> lines() {
    synchronized (lines) {
      return List.copyOf(lines);
    }
  }

  /** Waits for a line that the pattern finds something in, and returns the match. */
  Matcher awaitLine(String pattern) {
    Pattern wanted = Pattern.compile(pattern);
    return Awaitility.await("a line with " + pattern)
        .atMost(PATIENCE)
        .failFast(
            () -> {
              if (!process.isAlive() && lines().stream().noneMatch(l -> wanted.matcher(l).find())) {
                throw new IllegalStateException("ended early: " + lines());
              }
            })
        .until(() -> find(wanted), Objects::nonNull);
  }

  private @Nullable Matcher find(Pattern wanted) {
    for (String line : lines()) {
      Matcher matcher = wanted.matcher(line);
      if (matcher.find()) {
        return matcher;
      }
    }
    return null;
  }

  /** The address that the pages are served on, once the process has said it. */
  URI pages() {
    return URI.create(
        "http://127.0.0.1:" + awaitLine("dashboard: http://127.0.0.1:(\\d+)/").group(1));
  }

  String get(URI address) throws IOException, InterruptedException {
    HttpResponse<String> response =
        http.send(HttpRequest.newBuilder(address).build(), HttpResponse.BodyHandlers.ofString());
    if (response.statusCode() != 200) {
      throw new IllegalStateException(address + " answered " + response.statusCode());
    }
    return response.body();
  }

  int status(URI address) throws IOException, InterruptedException {
    return http.send(
            HttpRequest.newBuilder(address).build(), HttpResponse.BodyHandlers.discarding())
        .statusCode();
  }

  int post(URI address, String json) throws IOException, InterruptedException {
    return http.send(
            HttpRequest.newBuilder(address)
                .header("Content-Type", "application/json")
                .header("Origin", "http://" + address.getAuthority())
                .POST(HttpRequest.BodyPublishers.ofString(json))
                .build(),
            HttpResponse.BodyHandlers.discarding())
        .statusCode();
  }

  /** How much memory it has taken from the machine, as Linux counts it. */
  long residentBytes() throws IOException {
    try (Stream<String> lines =
        Files.lines(Path.of("/proc", String.valueOf(process.pid()), "status"))) {
      return lines
          .filter(line -> line.startsWith("VmRSS:"))
          .mapToLong(line -> 1024 * Long.parseLong(line.replaceAll("\\D", "")))
          .sum();
    }
  }

  /** How long processors have worked for it, as Linux counts it. */
  Duration processorTime() {
    return process.info().totalCpuDuration().orElse(Duration.ZERO);
  }

  /** Ends it as a power cut would. */
  void kill() throws InterruptedException {
    process.destroyForcibly().waitFor();
  }

  @Override
  public void close() {
    process.destroy();
    try {
      if (!process.waitFor(20, TimeUnit.SECONDS)) {
        process.destroyForcibly();
        throw new IllegalStateException("did not end when asked to: " + lines());
      }
    } catch (InterruptedException e) {
      process.destroyForcibly();
      Thread.currentThread().interrupt();
    }
  }
}
