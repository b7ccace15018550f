// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.nio.file.Path;
import java.time.InstantSource;
import java.util.HashMap;
import java.util.Map;
import java.util.function.Supplier;
import javax.net.ssl.SSLContext;
import org.apache.activemq.artemis.api.core.TransportConfiguration;
import org.apache.activemq.artemis.core.config.Configuration;
import org.apache.activemq.artemis.core.config.impl.ConfigurationImpl;
import org.apache.activemq.artemis.core.remoting.impl.netty.NettyAcceptorFactory;
import org.apache.activemq.artemis.core.remoting.impl.netty.TransportConstants;
import org.apache.activemq.artemis.core.server.JournalType;
import org.apache.activemq.artemis.core.settings.impl.AddressSettings;
import org.jspecify.annotations.Nullable;

/** The embedded broker's settings in its own library's words. */
final class BrokerConfiguration {

  /** The door that clients come by. */
  static final String FRONT = "mqtt";

  /** The door of Opercle's own services, where clients must be named. */
  static final String INSIDE = "inside";

  private static final long UNLIMITED = -1;
  private static final long LEAST_FREE_DISK_BYTES = 200L << 20;
  private static final long LOCK_TIMEOUT_MS = 2_000;

  /** How often to look for sessions that have expired and wills that are due. */
  private static final long SESSION_SCAN_MS = 1_000;

  /** For MQTT 3 clients, which cannot say how long their session is to be kept: a day. */
  private static final int MQTT3_SESSION_EXPIRY_S = 86_400;

  private static final int MOST_CONNECTIONS = 2_000;

  private BrokerConfiguration() {}

  static Configuration of(BrokerSettings settings) {
    Path folder = settings.folder();
    ConfigurationImpl configuration = new ConfigurationImpl();
    configuration.setName("opercle");
    configuration.setSecurityEnabled(settings.door().isPresent());
    // Each connection is asked: whose a client id is must not be forgotten.
    configuration.setAuthenticationCacheSize(0);
    // The library's user of that name may do everything, with a password that everybody can read.
    configuration.setClusterUser(EmbeddedBroker.secret());
    configuration.setClusterPassword(EmbeddedBroker.secret());
    configuration.setJMXManagementEnabled(false);
    configuration.setPersistenceEnabled(true);
    configuration.setJournalType(JournalType.NIO);
    configuration.setJournalDirectory(folder.resolve("journal").toString());
    configuration.setBindingsDirectory(folder.resolve("bindings").toString());
    configuration.setPagingDirectory(folder.resolve("paging").toString());
    configuration.setLargeMessagesDirectory(folder.resolve("large").toString());
    configuration.setNodeManagerLockDirectory(folder.resolve("journal").toString());
    configuration.setJournalLockAcquisitionTimeout(LOCK_TIMEOUT_MS);
    configuration.setGlobalMaxSize(UNLIMITED);
    // The default, 90 % of the disk, would stop the probes on a disk with many GB to spare.
    configuration.setMinDiskFree(LEAST_FREE_DISK_BYTES);
    configuration.setMqttSessionScanInterval(SESSION_SCAN_MS);
    configuration.registerBrokerPlugin(new ArrivalStamp(InstantSource.system()));
    configuration.registerBrokerPlugin(new ConnectionGuard());

    AddressSettings topics = new AddressSettings();
    topics.setMaxSizeBytes(UNLIMITED); // never pages: see Backlog
    topics.setMaxDeliveryAttempts(-1); // a subscriber that fails ten times must not lose a reading
    configuration.addAddressSetting("#", topics);
    @Nullable Supplier<SSLContext> tls =
        settings.door().flatMap(BrokerSettings.Door::tls).orElse(null);
    configuration.addAcceptorConfiguration(acceptor(FRONT, settings.host(), settings.port(), tls));
    if (settings.door().isPresent()) {
      configuration.addAcceptorConfiguration(acceptor(INSIDE, EmbeddedBroker.LOOPBACK, 0, null));
    }
    return configuration;
  }

  private static TransportConfiguration acceptor(
      String name, String host, int port, @Nullable Supplier<SSLContext> tls) {
    Map<String, Object> parameters = new HashMap<>();
    parameters.put(TransportConstants.HOST_PROP_NAME, host);
    parameters.put(TransportConstants.PORT_PROP_NAME, port);
    parameters.put(TransportConstants.PROTOCOLS_PROP_NAME, "MQTT");
    parameters.put(TransportConstants.CONNECTIONS_ALLOWED, MOST_CONNECTIONS);
    if (tls != null) {
      parameters.put(TransportConstants.SSL_ENABLED_PROP_NAME, true);
      parameters.put(TransportConstants.SSL_CONTEXT_PROP_NAME, tls);
    }
    Map<String, Object> mqtt = new HashMap<>();
    mqtt.put("defaultMqttSessionExpiryInterval", MQTT3_SESSION_EXPIRY_S);
    mqtt.put("maximumPacketSize", PacketLimit.MOST_BYTES);
    return new TransportConfiguration(NettyAcceptorFactory.class.getName(), parameters, name, mqtt);
  }

  /** Put together without a format, which in some countries writes digits that no URI has. */
  static String address(String host, int port) {
    return "tcp://" + host + ":" + port;
  }
}
