// SPDX-License-Identifier: Apache-2.0
package opercle.ingest;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.function.Predicate;

/**
 * A second JVM with the tests' class path, for tests that kill a process outright. Whatever it
 * prints can be awaited; it is killed at the latest when this is closed.
 */
public final class ChildJvm implements AutoCloseable {

  private static final String END = "\u0000end of output";

  private final Process process;
  private final BlockingQueue<String> lines = new LinkedBlockingQueue<>();
  private final Thread reader;

  private ChildJvm(Process process) {
    this.process = process;
    this.reader = new Thread(this::read, "child-jvm-output");
    reader.setDaemon(true);
    reader.start();
  }

  /** Starts the class's main method. What it prints on standard error is ours as well. */
  public static ChildJvm start(Class<?> main, String... arguments) throws IOException {
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    command.addAll(List.of("-Xmx256m", "-cp", System.getProperty("java.class.path")));
    command.add(main.getName());
    command.addAll(List.of(arguments));
    return new ChildJvm(
        new ProcessBuilder(command).redirectError(ProcessBuilder.Redirect.INHERIT).start());
  }

  /** The next line that fits; lines before it are gone. */
  public String awaitLine(Predicate<String> fits, Duration timeout) throws InterruptedException {
    long deadline = System.nanoTime() + timeout.toNanos();
    while (true) {
      String line = lines.poll(deadline - System.nanoTime(), TimeUnit.NANOSECONDS);
      if (line == null || line.equals(END)) {
        throw new AssertionError(
            "the child " + (line == null ? "did not say it within " + timeout : "ended before it"));
      }
      if (fits.test(line)) {
        return line;
      }
    }
  }

  /** Kills it as the system kills a process that is out of memory: no shutdown hook runs. */
  public void kill() throws InterruptedException {
    process.destroyForcibly().waitFor();
  }

  /** What it printed and nobody has taken yet; call after {@link #kill}. */
  public List<String> remainingLines() throws InterruptedException {
    reader.join();
    List<String> remaining = new ArrayList<>();
    lines.drainTo(remaining);
    remaining.remove(END);
    return remaining;
  }

  private void read() {
    try (BufferedReader output =
        new BufferedReader(
            new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8))) {
      output.lines().forEach(lines::add);
    } catch (IOException | UncheckedIOException e) {
      // It was killed in the middle of a line.
    }
    lines.add(END);
  }

  @Override
  public void close() {
    process.destroyForcibly();
  }
}
