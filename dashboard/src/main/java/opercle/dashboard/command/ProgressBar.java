// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.FilterInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PrintWriter;
import java.util.Locale;
import java.util.function.LongSupplier;

/**
 * How far a long command has come, redrawn in place on standard error, where that is a terminal;
 * otherwise nothing is written at all.
 */
final class ProgressBar implements AutoCloseable {

  private static final int WIDTH = 40;
  private static final long REDRAW_NANOS = 100_000_000;

  private final PrintWriter err;
  private final long total;
  private final boolean shown;
  private final LongSupplier nanoTime;
  private long done;
  private long drawnAt;

  ProgressBar(PrintWriter err, long total, boolean shown, LongSupplier nanoTime) {
    this.err = err;
    this.total = total;
    this.shown = shown;
    this.nanoTime = nanoTime;
    this.drawnAt = nanoTime.getAsLong();
  }

  /** A bar that shows itself if standard error is a terminal. */
  static ProgressBar onTerminal(PrintWriter err, long total) {
    return new ProgressBar(err, total, standardErrorIsATerminal(), System::nanoTime);
  }

  /** The same stream; what is read from it moves the bar. */
  InputStream counting(InputStream in) {
    return new FilterInputStream(in) {
      @Override
      public int read() throws IOException {
        int b = super.read();
        if (b >= 0) {
          advance(1);
        }
        return b;
      }

      @Override
      public int read(byte[] buffer, int offset, int length) throws IOException {
        int n = super.read(buffer, offset, length);
        if (n > 0) {
          advance(n);
        }
        return n;
      }
    };
  }

  /** Moves the bar on. */
  void advance(long by) {
    done += by;
    if (shown) {
      long now = nanoTime.getAsLong();
      if (now - drawnAt >= REDRAW_NANOS) {
        drawnAt = now;
        draw();
      }
    }
  }

  private void draw() {
    double share = total <= 0 ? 1.0 : Math.min(1.0, (double) done / total);
    int filled = (int) Math.round(share * WIDTH);
    err.printf(
        Locale.ROOT,
        "\r[%s%s] %3.0f %%",
        "#".repeat(filled),
        "-".repeat(WIDTH - filled),
        share * 100);
    err.flush();
  }

  /** Writes a line of its own, whether or not the bar is shown. */
  void say(String line) {
    wipe();
    err.println(line);
    err.flush();
  }

  @Override
  public void close() {
    wipe();
  }

  private void wipe() {
    if (shown) {
      err.print("\r" + " ".repeat(WIDTH + 10) + "\r");
      err.flush();
    }
  }

  // Java has no isatty for standard error alone: System.console() asks about input and output. The
  // shell's command has, and inherits the stream from us.
  private static boolean standardErrorIsATerminal() {
    try {
      Process test =
          new ProcessBuilder("test", "-t", "2")
              .redirectError(ProcessBuilder.Redirect.INHERIT)
              .start();
      return test.waitFor() == 0;
    } catch (IOException e) {
      return false;
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return false;
    }
  }
}
