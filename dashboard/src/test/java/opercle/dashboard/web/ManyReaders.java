// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.StandardSocketOptions;
import java.nio.ByteBuffer;
import java.nio.channels.SelectionKey;
import java.nio.channels.Selector;
import java.nio.channels.SocketChannel;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;

/**
 * Many listeners to the live stream on one thread. Good ones read all there is; slow ones read one
 * byte a second. How late a frame is, is told by the farm's time in it, which must be the
 * machine's.
 */
final class ManyReaders implements AutoCloseable {

  private static final byte[] NOW = "{\"now\":\"".getBytes(UTF_8);
  private static final byte[] END = "}\n\n".getBytes(UTF_8);
  private static final int LONGEST_TIME = 40;

  /** One good listener. Only what a frame's time is told by is looked at. */
  private static final class Good {
    private final ByteBuffer time = ByteBuffer.allocate(LONGEST_TIME);
    private int matched;
    private int ended;
    private boolean inTime;
    private Instant made = Instant.EPOCH;
    private int frames;
  }

  private final int port;
  private final Selector selector = Selector.open();
  private final List<Good> good = new ArrayList<>();
  private final List<SocketChannel> slow = new ArrayList<>();
  private final List<SocketChannel> all = new ArrayList<>();
  private final List<Double> late = new ArrayList<>();
  private final ByteBuffer read = ByteBuffer.allocate(256 * 1024);
  private final Thread thread = new Thread(this::run, "many-readers");
  private volatile boolean stopped;
  private volatile Instant from = Instant.MAX;
  private long bytes;
  private long measured;

  ManyReaders(int port) throws IOException {
    this.port = port;
    thread.setDaemon(true);
  }

  /** Opens the streams and starts reading. */
  void open(int goodOnes, int slowOnes) throws IOException {
    for (int i = 0; i < goodOnes + slowOnes; i++) {
      boolean isSlow = i >= goodOnes;
      SocketChannel channel = SocketChannel.open();
      if (isSlow) {
        channel.setOption(StandardSocketOptions.SO_RCVBUF, 4096);
      }
      channel.connect(new InetSocketAddress(InetAddress.getLoopbackAddress(), port));
      channel.write(ByteBuffer.wrap(request("")));
      channel.configureBlocking(false);
      all.add(channel);
      if (isSlow) {
        slow.add(channel);
      } else {
        var listener = new Good();
        good.add(listener);
        channel.register(selector, SelectionKey.OP_READ, listener);
      }
    }
    thread.start();
  }

  /** Frames that come from now on count. */
  void measureFrom(Instant begin) {
    from = begin;
  }

  void stop() throws InterruptedException {
    stopped = true;
    selector.wakeup();
    thread.join();
  }

  int frames() {
    return late.size();
  }

  int fewestFrames() {
    return good.stream().mapToInt(g -> g.frames).min().orElse(0);
  }

  long frameBytes() {
    return bytes / Math.max(1, measured);
  }

  /** How late frames were, ms; of all listeners together. */
  double lateMs(double quantile) {
    double[] sorted = late.stream().mapToDouble(Double::doubleValue).sorted().toArray();
    return sorted[(int) Math.round(quantile * (sorted.length - 1))];
  }

  /** The time of the first frame that one who was let go is sent on coming back. */
  Instant slowThatComesBack() throws IOException {
    try (var socket = new Socket(InetAddress.getLoopbackAddress(), port)) {
      socket.setSoTimeout(5000);
      socket.getOutputStream().write(request("Last-Event-ID: other-1\r\n"));
      var text = new StringBuilder();
      int letter = socket.getInputStream().read();
      while (letter >= 0 && text.indexOf("\",\"version") < 0) {
        text.append((char) letter);
        letter = socket.getInputStream().read();
      }
      int start = text.indexOf(new String(NOW, UTF_8)) + NOW.length;
      return Instant.parse(text.substring(start, text.indexOf("\"", start)));
    }
  }

  private static byte[] request(String header) {
    return ("GET /live HTTP/1.0\r\nHost: 127.0.0.1\r\n" + header + "\r\n").getBytes(UTF_8);
  }

  private void run() {
    Instant sip = Instant.now();
    ByteBuffer one = ByteBuffer.allocate(1);
    try {
      while (!stopped) {
        selector.select(this::take, 100);
        if (Instant.now().isAfter(sip.plus(Duration.ofSeconds(1)))) {
          sip = Instant.now();
          for (SocketChannel channel : slow) {
            sip(channel, one);
          }
        }
      }
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }

  private static void sip(SocketChannel channel, ByteBuffer one) {
    try {
      int unused = channel.read(one.clear());
    } catch (IOException letGo) {
      // as it should be
    }
  }

  private void take(SelectionKey key) {
    try {
      read.clear();
      if (((SocketChannel) key.channel()).read(read) < 0) {
        key.cancel();
      } else {
        look((Good) key.attachment(), read.flip());
      }
    } catch (IOException e) {
      key.cancel();
    }
  }

  private void look(Good g, ByteBuffer part) {
    Instant at = Instant.now();
    boolean counts = at.isAfter(from);
    if (counts) {
      bytes += part.remaining();
    }
    while (part.hasRemaining()) {
      byte letter = part.get();
      if (g.inTime) {
        if (letter == '"') {
          g.inTime = false;
          g.made = Instant.parse(new String(g.time.array(), 0, g.time.position(), UTF_8));
        } else {
          g.time.put(letter);
        }
        continue;
      }
      g.matched = letter == NOW[g.matched] ? g.matched + 1 : letter == NOW[0] ? 1 : 0;
      if (g.matched == NOW.length) {
        g.matched = 0;
        g.inTime = true;
        g.time.clear();
      }
      g.ended = letter == END[g.ended] ? g.ended + 1 : letter == END[0] ? 1 : 0;
      if (g.ended == END.length) {
        g.ended = 0;
        frame(g, at);
      }
    }
  }

  /** A whole frame is there. */
  private void frame(Good g, Instant at) {
    if (g.made.isAfter(from)) {
      g.frames++;
      measured++;
      late.add(Duration.between(g.made, at).toNanos() / 1e6);
    }
  }

  @Override
  public void close() throws IOException {
    for (SocketChannel channel : all) {
      channel.close();
    }
    selector.close();
  }
}
