// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import io.javalin.config.JettyConfig;
import java.time.Duration;
import org.eclipse.jetty.server.HttpConfiguration;
import org.eclipse.jetty.server.HttpConnectionFactory;
import org.eclipse.jetty.server.NetworkConnectionLimit;
import org.eclipse.jetty.server.SecureRequestCustomizer;
import org.eclipse.jetty.server.Server;
import org.eclipse.jetty.server.ServerConnector;
import org.eclipse.jetty.server.SslConnectionFactory;
import org.eclipse.jetty.server.handler.MinimumDataRateHandler;
import org.eclipse.jetty.util.ssl.SslContextFactory;

/** How the server listens: where, with which certificate, and what it puts up with. */
final class Listening {

  /**
   * What the system keeps for one connection that does not read. Left to itself it takes megabytes,
   * in which a slow listener's stream grows minutes old before anybody notices.
   */
  private static final int SEND_BUFFER = 128 * 1024;

  /** Whoever says nothing for so long is hung up on; a live stream speaks every second. */
  private static final Duration MOST_SILENT = Duration.ofSeconds(30);

  /** Twice as many as there may be live streams, and what is asked beside them. */
  private static final int MOST_CONNECTIONS = 2_000;

  /** Slower bodies only hold a thread; the slowest phone line is ten times as quick. */
  private static final long LEAST_BYTES_PER_SECOND = 100;

  private Listening() {}

  static void configure(JettyConfig jetty, DashboardSettings settings) {
    jetty.modifyServer(
        server -> {
          server.setErrorHandler(new ProblemErrors());
          server.setHandler(new MinimumDataRateHandler(LEAST_BYTES_PER_SECOND, 0));
          server.addBean(new NetworkConnectionLimit(MOST_CONNECTIONS, server));
        });
    jetty.modifyHttpConfiguration(http -> http.setSendServerVersion(false));
    jetty.addConnector(
        (server, http) -> {
          ServerConnector connector = connector(server, http, settings);
          connector.setHost(settings.host());
          connector.setPort(settings.port());
          connector.setIdleTimeout(MOST_SILENT.toMillis());
          connector.setAcceptedSendBufferSize(SEND_BUFFER);
          return connector;
        });
  }

  private static ServerConnector connector(
      Server server, HttpConfiguration http, DashboardSettings settings) {
    if (settings.entrance().tls().isEmpty()) {
      return new ServerConnector(server, new HttpConnectionFactory(http));
    }
    TlsFiles files = settings.entrance().tls().get();
    var factory = new SslContextFactory.Server();
    factory.setSslContext(files.read());
    var secure = new HttpConfiguration(http);
    // The guard looks at the host's name; a farm may be called by its address too.
    secure.addCustomizer(new SecureRequestCustomizer(false));
    var tls = new SslConnectionFactory(factory, "http/1.1");
    var connector = new ServerConnector(server, tls, new HttpConnectionFactory(secure));
    connector.addBean(new FreshCertificate(files, factory));
    return connector;
  }
}
