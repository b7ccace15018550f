// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import jakarta.servlet.AsyncContext;
import jakarta.servlet.ServletOutputStream;
import jakarta.servlet.WriteListener;
import java.io.IOException;
import java.util.concurrent.TimeoutException;
import java.util.function.BooleanSupplier;
import org.eclipse.jetty.ee10.servlet.ServletContextRequest;
import org.jspecify.annotations.Nullable;

/**
 * One browser that is listening. It never blocks whoever offers it a frame: it writes only when the
 * container says that it would not block, and keeps one frame, the newest, for later; before the
 * first it sends a greeting.
 *
 * <p>Safe for many threads. The lock is held for whole frames, so that two can not mix, and never
 * while waiting for a network.
 */
final class LiveStream implements WriteListener {

  private static final long NOT_WAITING = Long.MIN_VALUE;

  private final AsyncContext async;
  private final ServletOutputStream out;
  private final LiveFeed feed;
  private final BooleanSupplier stands;

  // Everything from here on is guarded by this object's lock.
  private byte @Nullable [] greeting;

  private byte @Nullable [] next;
  private boolean unflushed;

  /** True until the container calls {@link #onWritePossible}; until then the stream is its own. */
  private boolean waiting = true;

  private long waitingSinceNanos = NOT_WAITING;
  private boolean closed;

  /**
   * @param stands whether the log-in still holds
   */
  LiveStream(AsyncContext async, LiveFeed feed, byte[] greeting, BooleanSupplier stands)
      throws IOException {
    this.stands = stands;
    this.async = async;
    this.greeting = greeting;
    this.out = async.getResponse().getOutputStream();
    this.feed = feed;
  }

  /** Hands over the newest frame; one that was still waiting is dropped. */
  synchronized void offer(byte[] frame) {
    next = frame;
    if (!waiting && !closed) {
      writeOrClose();
    }
  }

  @Override
  public synchronized void onWritePossible() {
    waiting = false;
    waitingSinceNanos = NOT_WAITING;
    if (!closed) {
      writeOrClose();
    }
  }

  @Override
  public void onError(Throwable gone) {
    close(); // the browser went away, or abort() sent it away
  }

  /** How long the browser has not taken what was written, ns; 0 when it is up to date. */
  synchronized long stalledNanos(long nowNanos) {
    return waitingSinceNanos == NOT_WAITING ? 0L : nowNanos - waitingSinceNanos;
  }

  /** Whether whoever listens may go on; may wait for the disk. */
  boolean stillStands() {
    return stands.getAsBoolean();
  }

  /** Ends the stream: in good order where everything was taken, at once where not. */
  void end(String why) {
    boolean taken;
    synchronized (this) {
      taken = !waiting;
    }
    if (taken) {
      close();
    } else {
      abort(why);
    }
  }

  /** Ends the connection without waiting for anything that is still to be written. */
  void abort(String why) {
    try {
      var request = ServletContextRequest.getServletContextRequest(async.getRequest());
      var connection = request.getConnectionMetaData().getConnection();
      connection.getEndPoint().close(new TimeoutException(why));
    } catch (IllegalStateException over) {
      // It has ended by itself in this moment.
    }
    close();
  }

  /** Only with the lock. */
  private void writeOrClose() {
    try {
      write();
    } catch (IOException | IllegalStateException gone) {
      close();
    }
  }

  /** Only with the lock. */
  private void write() throws IOException {
    while (out.isReady()) {
      if (unflushed) {
        unflushed = false;
        out.flush();
      } else if (greeting != null) {
        byte[] words = greeting;
        greeting = null;
        out.write(words);
      } else if (next != null) {
        byte[] frame = next;
        next = null;
        unflushed = true;
        out.write(frame);
      } else {
        return;
      }
    }
    waiting = true;
    waitingSinceNanos = System.nanoTime();
  }

  private void close() {
    synchronized (this) {
      if (closed) {
        return;
      }
      closed = true;
      next = null;
    }
    feed.left(this);
    try {
      async.complete();
    } catch (IllegalStateException alreadyComplete) {
      // the container was quicker
    }
  }
}
