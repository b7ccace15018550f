// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.IOException;
import java.io.InputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** A receiver of webhooks as bare as can be, so that it can misbehave on the wire. */
final class WebhookReceiver implements AutoCloseable {

  /** What it does with a call. */
  enum Mood {
    TAKES,
    REFUSES,
    STALLS,
    TALKS_RUBBISH
  }

  private static final Pattern KEY =
      Pattern.compile("(?im)^Idempotency-Key: *(\\S+)", Pattern.MULTILINE);
  private static final Pattern LENGTH = Pattern.compile("(?im)^Content-Length: *(\\d+)");

  private final ServerSocket server = new ServerSocket(0, 50, InetAddress.getLoopbackAddress());
  private final List<Socket> held = new CopyOnWriteArrayList<>();

  /** What was sent, taken or not. */
  final List<String> bodies = new CopyOnWriteArrayList<>();

  /** Keys of calls that were sent. */
  final List<String> begun = new CopyOnWriteArrayList<>();

  /** Keys of calls that were taken. */
  final List<String> taken = new CopyOnWriteArrayList<>();

  volatile Mood mood = Mood.TAKES;

  /** Listens from now on. */
  WebhookReceiver() throws IOException {
    Thread thread = new Thread(this::listen, "receiver");
    thread.setDaemon(true);
    thread.start();
  }

  /** Whether something was told that holds this. */
  boolean wasTold(String text) {
    return bodies.stream().anyMatch(body -> body.contains(text));
  }

  String url() {
    return "http://127.0.0.1:" + server.getLocalPort() + "/in";
  }

  private void listen() {
    while (!server.isClosed()) {
      try {
        Socket socket = server.accept();
        Thread thread = new Thread(() -> answer(socket), "receiver-answers");
        thread.setDaemon(true);
        thread.start();
      } catch (IOException e) {
        return; // closed
      }
    }
  }

  private void answer(Socket socket) {
    try {
      String head = head(socket.getInputStream());
      Matcher length = LENGTH.matcher(head);
      if (length.find()) {
        byte[] body = socket.getInputStream().readNBytes(Integer.parseInt(length.group(1)));
        bodies.add(new String(body, UTF_8));
      }
      Matcher key = KEY.matcher(head);
      String call = key.find() ? key.group(1) : "no key";
      begun.add(call);
      switch (mood) {
        case STALLS -> {
          held.add(socket);
          return;
        }
        case TALKS_RUBBISH -> say(socket, "carp carp carp\u0000\r\n\r\n");
        case REFUSES -> say(socket, "HTTP/1.1 503 Busy\r\nContent-Length: 0\r\n\r\n");
        case TAKES -> {
          taken.add(call);
          say(socket, "HTTP/1.1 204 Taken\r\nConnection: close\r\n\r\n");
        }
      }
      socket.close();
    } catch (IOException e) {
      // The caller was killed in the middle, which is what some tests are about.
    }
  }

  private static void say(Socket socket, String text) throws IOException {
    socket.getOutputStream().write(text.getBytes(UTF_8));
    socket.getOutputStream().flush();
  }

  private static String head(InputStream in) throws IOException {
    StringBuilder head = new StringBuilder();
    while (head.indexOf("\r\n\r\n") < 0) {
      int next = in.read();
      if (next < 0) {
        break;
      }
      head.append((char) next);
    }
    return head.toString();
  }

  @Override
  public void close() throws IOException {
    server.close();
    for (Socket socket : held) {
      socket.close();
    }
  }
}
