// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.function.Supplier;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The live stream: one snapshot of the whole farm a second, as a server-sent event, to everybody
 * who is looking.
 *
 * <pre>
 *  opercle-live (one thread)            container threads
 *  every second: snapshot ──▶ frame     GET /live: new LiveStream, newest frame at once
 *     for each stream: offer(frame) ─▶ LiveStream ◀─ onWritePossible, onError
 *     sends away who does not read         (writes what is waiting)
 * </pre>
 *
 * <p>Nobody who reads slowly holds up anybody else: all writing is non-blocking, no stream has a
 * thread, and each keeps at most one frame for later. A frame is the whole truth, so the newest
 * replaces one that could not be sent. Its {@code id} names this run of the server and counts
 * frames; a step of more than one says that some were left out. A stream that has not taken what
 * was written within the drain time is ended; a browser will come back by itself.
 *
 * <p>Who comes back says which frame they had last (see {@link LiveGreeting}). They are told how
 * many they have missed, and then sent the newest: what tanks showed in between is not sent again.
 */
final class LiveFeed implements AutoCloseable {

  static final String CONTENT_TYPE = "text/event-stream;charset=utf-8";

  private static final Logger LOG = LoggerFactory.getLogger(LiveFeed.class);

  /**
   * How a feed behaves.
   *
   * @param every from one frame to the next
   * @param drain how long a stream may leave a frame untaken
   * @param mostStreams more listeners than this are refused
   */
  record Pace(Duration every, Duration drain, int mostStreams) {
    /** A frame a second suits the probes; fifteen seconds is a phone between two masts. */
    static final Pace USUAL = new Pace(Duration.ofSeconds(1), Duration.ofSeconds(15), 500);
  }

  private final Supplier<byte[]> snapshot;
  private final Pace pace;
  private final Set<LiveStream> streams = ConcurrentHashMap.newKeySet();
  private final ScheduledExecutorService ticker = thread("opercle-live");
  private final ScheduledExecutorService doorkeeper = thread("opercle-live-log-ins");

  /** One frame, ready to be sent. */
  private static final class Frame {
    private final long number;
    private final byte[] bytes;

    Frame(long number, byte[] bytes) {
      this.number = number;
      this.bytes = bytes;
    }
  }

  private final String run = Long.toString(System.currentTimeMillis(), Character.MAX_RADIX);
  private volatile Frame newest = new Frame(0, utf8(": starting\n\n"));
  private long frames;
  private boolean failing;

  /**
   * @param snapshot the farm as one line of JSON, UTF-8
   * @param pace how often, how patient, how many
   */
  LiveFeed(Supplier<byte[]> snapshot, Pace pace) {
    this.snapshot = snapshot;
    this.pace = pace;
  }

  void start() {
    var unused =
        ticker.scheduleAtFixedRate(this::tick, 0, pace.every().toNanos(), TimeUnit.NANOSECONDS);
    long often = 2 * pace.every().toNanos();
    var unusedToo =
        doorkeeper.scheduleWithFixedDelay(this::lookAtLogIns, often, often, TimeUnit.NANOSECONDS);
  }

  /** Answers {@code GET /live}; the answer goes on until the browser or {@link #close} ends it. */
  void open(HttpServletRequest request, HttpServletResponse response) throws IOException {
    if (streams.size() >= pace.mostStreams()) {
      Problem problem =
          Problem.busy(
              "%d pages are listening, which is the most. Close one and load this page again."
                  .formatted(pace.mostStreams()));
      response.setStatus(problem.status());
      response.setContentType(Problem.CONTENT_TYPE);
      response.setHeader("Retry-After", "10");
      response.getOutputStream().write(problem.json());
      return;
    }
    response.setContentType(CONTENT_TYPE);
    response.setHeader("Cache-Control", "no-store");
    response.setHeader("X-Accel-Buffering", "no"); // asks a proxy before us not to hold events back
    var async = request.startAsync();
    async.setTimeout(0);
    Frame first = newest;
    var greeting = LiveGreeting.to(request, run, first.number, pace.every());
    var stream = new LiveStream(async, this, utf8(greeting.event()), Gate.stands(request));
    stream.offer(first.bytes);
    streams.add(stream);
    response.getOutputStream().setWriteListener(stream);
  }

  /** How many are listening. */
  int listening() {
    return streams.size();
  }

  void left(LiveStream stream) {
    streams.remove(stream);
  }

  @Override
  public void close() {
    ticker.shutdownNow();
    doorkeeper.shutdownNow();
    streams.forEach(stream -> stream.end("the dashboard stops"));
  }

  /** Ends the streams whose log-in has ended; waits for the disk, which the ticker must not. */
  private void lookAtLogIns() {
    for (LiveStream stream : streams) {
      try {
        if (!stream.stillStands()) {
          stream.end("the log-in has ended");
        }
      } catch (RuntimeException e) { // the others must be looked at whatever happens with this one
        LOG.warn("live stream: whether a log-in holds could not be found out", e);
      }
    }
  }

  private void tick() {
    try {
      frames++;
      byte[] frame = frame(run + "-" + frames, snapshot.get());
      newest = new Frame(frames, frame);
      failing = false;
      streams.forEach(stream -> serve(stream, frame));
    } catch (RuntimeException e) { // the next second must come whatever happens in this one
      if (!failing) {
        LOG.error("live stream: no snapshot of the farm; pages will say that they are old", e);
      }
      failing = true;
    }
  }

  private void serve(LiveStream stream, byte[] frame) {
    try {
      stream.offer(frame);
      if (stream.stalledNanos(System.nanoTime()) > pace.drain().toNanos()) {
        LOG.info(
            "live stream: a page has not read for {} s and was let go; it may come back",
            pace.drain().toSeconds());
        stream.abort("did not read");
      }
    } catch (RuntimeException e) { // one broken stream must not cost the others their frame
      LOG.warn("live stream: a stream failed and was let go", e);
      streams.remove(stream);
    }
  }

  private static ScheduledExecutorService thread(String name) {
    return Executors.newSingleThreadScheduledExecutor(
        task -> {
          var thread = new Thread(task, name);
          thread.setDaemon(true);
          return thread;
        });
  }

  private static byte[] frame(String id, byte[] data) {
    byte[] start = utf8("id: " + id + "\nevent: farm\nretry: 2000\ndata: ");
    byte[] frame = new byte[start.length + data.length + 2];
    System.arraycopy(start, 0, frame, 0, start.length);
    System.arraycopy(data, 0, frame, start.length, data.length);
    frame[frame.length - 2] = '\n';
    frame[frame.length - 1] = '\n';
    return frame;
  }

  private static byte[] utf8(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }
}
