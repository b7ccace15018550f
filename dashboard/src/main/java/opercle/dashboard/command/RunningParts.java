// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.Duration;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * What a command has started, to be stopped in the opposite order: when the command fails, or when
 * the process is asked to end.
 */
final class RunningParts implements AutoCloseable {

  private static final Logger log = LoggerFactory.getLogger(RunningParts.class);

  private final Deque<AutoCloseable> parts = new ArrayDeque<>();
  private boolean closed;

  /** Keeps a part that has just been started; where all has ended meanwhile, stops it at once. */
  synchronized <T extends AutoCloseable> T add(T part) {
    if (closed) {
      stop(part);
    } else {
      parts.push(part);
    }
    return part;
  }

  /**
   * Runs until the process is asked to end (Ctrl-C, SIGTERM), and stops the parts before it does.
   */
  void untilAskedToEnd() {
    untilAskedToEnd(Duration.ofNanos(Long.MAX_VALUE));
  }

  /** As {@link #untilAskedToEnd()}, but at most for so long; then the parts go on. */
  void untilAskedToEnd(Duration atMost) {
    CountDownLatch asked = new CountDownLatch(1);
    Thread hook =
        new Thread(
            () -> {
              asked.countDown();
              close();
            },
            "stopping");
    Runtime.getRuntime().addShutdownHook(hook);
    try {
      if (asked.await(atMost.toNanos(), TimeUnit.NANOSECONDS)) {
        hook.join();
      } else {
        Runtime.getRuntime().removeShutdownHook(hook);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } catch (IllegalStateException e) {
      log.debug("asked to end in the very moment in which the time was over", e);
    }
  }

  @Override
  public synchronized void close() {
    if (closed) {
      return;
    }
    closed = true;
    parts.forEach(RunningParts::stop);
    parts.clear();
  }

  private static void stop(AutoCloseable part) {
    try {
      part.close();
    } catch (Exception e) {
      log.warn("could not stop {} cleanly", part.getClass().getSimpleName(), e);
    }
  }
}
