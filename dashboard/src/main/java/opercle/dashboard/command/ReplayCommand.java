// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.BufferedWriter;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.OutputStreamWriter;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Optional;
import java.util.concurrent.Callable;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.trace.Replay;
import opercle.analysis.trace.TraceReader;
import opercle.ingest.reading.Reading;
import opercle.ingest.settings.Problem;
import opercle.ingest.settings.UnusableInputException;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** {@code replay}: a recorded trace through the watch, as fast as it goes. */
@Command(
    name = "replay",
    description = {
      "Runs a recorded trace through the analysis in event time, as fast as it can.",
      "Writes alarm events and a summary as JSON Lines."
    })
final class ReplayCommand implements Callable<Integer> {

  private static final int MOST_COMPLAINTS = 20;
  private static final int BUFFER_BYTES = 1 << 16;

  @Spec private CommandSpec spec;

  @Option(
      names = "--farm",
      required = true,
      paramLabel = "farm.yaml",
      description = "The farm description.")
  private Path farmFile;

  @Option(
      names = "--states",
      paramLabel = "SECONDS",
      description = "Also write each tank's state every so many seconds of trace time.")
  private @Nullable Long statesSeconds;

  @Parameters(
      paramLabel = "TRACE.csv",
      description = "The trace: CSV with time, tank, quantity, value.")
  private Path traceFile;

  private long complaints;

  @Override
  public Integer call() throws IOException {
    if (statesSeconds != null && statesSeconds < 1) {
      throw new ParameterException(
          spec.commandLine(), "--states must be at least 1 second but was " + statesSeconds);
    }
    Farm farm = FarmReader.read(farmFile);
    PrintWriter err = spec.commandLine().getErr();
    Writer out =
        new BufferedWriter(
            new OutputStreamWriter(System.out, StandardCharsets.UTF_8), BUFFER_BYTES);
    Replay replay =
        new Replay(
            farm,
            Optional.ofNullable(statesSeconds).map(Duration::ofSeconds),
            line -> writeLine(out, line));
    long taken;
    try {
      taken = feed(replay, farm, err);
    } finally {
      out.flush(); // whole lines, even where the trace breaks off
    }
    if (complaints > MOST_COMPLAINTS) {
      err.printf("%s: %d more rows could not be used%n", traceFile, complaints - MOST_COMPLAINTS);
    }
    if (taken == 0) {
      throw unusable(traceFile.toString(), "holds no reading that can be used");
    }
    replay.finish();
    out.flush();
    if (System.out.checkError()) {
      throw unusable("standard output", "could not be written to the end");
    }
    return 0;
  }

  private long feed(Replay replay, Farm farm, PrintWriter err) throws IOException {
    long taken = 0;
    try (InputStream file = open(traceFile);
        ProgressBar progress = ProgressBar.onTerminal(err, Files.size(traceFile));
        TraceReader trace =
            new TraceReader(
                traceFile.toString(),
                new InputStreamReader(progress.counting(file), StandardCharsets.UTF_8),
                farm.tankIds()::contains,
                problem -> complain(replay, problem, progress))) {
      for (Reading reading = trace.next(); reading != null; reading = trace.next()) {
        replay.accept(reading);
        taken++;
      }
    }
    return taken;
  }

  private static InputStream open(Path file) throws IOException {
    if (Files.isDirectory(file)) {
      throw unusable(file.toString(), "is a folder, not a trace");
    }
    try {
      return Files.newInputStream(file);
    } catch (NoSuchFileException e) {
      throw unusable(file.toString(), "there is no such file");
    } catch (AccessDeniedException e) {
      throw unusable(file.toString(), "cannot be read: this user may not");
    }
  }

  private static UnusableInputException unusable(String source, String message) {
    return new UnusableInputException(new Problem(source, 0, "", message));
  }

  private void complain(Replay replay, Problem problem, ProgressBar progress) {
    replay.reject();
    if (++complaints <= MOST_COMPLAINTS) {
      progress.say(problem.toString());
    }
  }

  private static void writeLine(Writer out, String line) {
    try {
      out.write(line);
      out.write('\n');
    } catch (IOException e) {
      throw new UncheckedIOException("cannot write to standard output", e);
    }
  }
}
