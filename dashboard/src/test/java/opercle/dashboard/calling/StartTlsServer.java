// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import static java.nio.charset.StandardCharsets.US_ASCII;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.util.List;
import java.util.Objects;
import java.util.concurrent.CopyOnWriteArrayList;
import javax.net.ssl.KeyManagerFactory;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLSocket;

/**
 * As much of a mail server as it takes to go over to TLS (RFC 3207) and take one mail. GreenMail
 * cannot; the certificate is GreenMail's.
 */
final class StartTlsServer implements AutoCloseable {

  private static final char[] PASSWORD = "changeit".toCharArray();

  /** The commands that came in the clear, and those that came under TLS. */
  final List<String> clear = new CopyOnWriteArrayList<>();

  final List<String> hidden = new CopyOnWriteArrayList<>();

  private final ServerSocket listening;
  private final SSLContext tls = context();
  private final Thread thread = new Thread(this::serve, "starttls-server");

  StartTlsServer() throws IOException {
    listening = new ServerSocket(0, 5, InetAddress.getLoopbackAddress());
    thread.setDaemon(true);
    thread.start();
  }

  int port() {
    return listening.getLocalPort();
  }

  private void serve() {
    while (!listening.isClosed()) {
      try (Socket socket = listening.accept()) {
        say(socket, "220 pond.example");
        if (talk(socket, clear)) {
          SSLSocket secret =
              (SSLSocket) tls.getSocketFactory().createSocket(socket, null, socket.getPort(), true);
          secret.setUseClientMode(false);
          secret.startHandshake();
          var unused = talk(secret, hidden);
        }
      } catch (IOException e) {
        // the other side went away, or the test is over
      }
    }
  }

  /** Until the end, or until the other side wants TLS. */
  private static boolean talk(Socket socket, List<String> heard) throws IOException {
    BufferedReader in =
        new BufferedReader(new InputStreamReader(socket.getInputStream(), US_ASCII));
    boolean inMail = false;
    String line = in.readLine();
    while (line != null) {
      heard.add(line);
      String command = line.length() < 4 ? line : line.substring(0, 4);
      if (inMail) {
        inMail = !line.equals(".");
        if (!inMail) {
          say(socket, "250 taken");
        }
      } else if (command.equals("EHLO")) {
        say(socket, "250-pond.example\r\n250-AUTH PLAIN\r\n250 STARTTLS");
      } else if (command.equals("STAR")) {
        say(socket, "220 go on");
        return true;
      } else if (command.equals("AUTH")) {
        say(socket, "235 welcome");
      } else if (command.equals("DATA")) {
        say(socket, "354 go on");
        inMail = true;
      } else if (command.equals("QUIT")) {
        say(socket, "221 farewell");
        return false;
      } else {
        say(socket, "250 good");
      }
      line = in.readLine();
    }
    return false;
  }

  private static void say(Socket socket, String words) throws IOException {
    socket.getOutputStream().write((words + "\r\n").getBytes(US_ASCII));
    socket.getOutputStream().flush();
  }

  private static SSLContext context() {
    try (InputStream file =
        Objects.requireNonNull(StartTlsServer.class.getResourceAsStream("/greenmail.p12"))) {
      KeyStore store = KeyStore.getInstance("PKCS12");
      store.load(file, PASSWORD);
      KeyManagerFactory keys =
          KeyManagerFactory.getInstance(KeyManagerFactory.getDefaultAlgorithm());
      keys.init(store, PASSWORD);
      SSLContext context = SSLContext.getInstance("TLS");
      context.init(keys.getKeyManagers(), null, null);
      return context;
    } catch (GeneralSecurityException | IOException e) {
      throw new IllegalStateException("the certificate for the test cannot be read", e);
    }
  }

  @Override
  public void close() throws IOException {
    listening.close();
  }
}
