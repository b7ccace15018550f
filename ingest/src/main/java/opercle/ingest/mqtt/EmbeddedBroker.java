// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.URI;
import java.net.UnknownHostException;
import java.nio.channels.FileChannel;
import java.nio.channels.OverlappingFileLockException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.InstantSource;
import java.util.concurrent.TimeUnit;
import org.apache.activemq.artemis.core.config.Configuration;
import org.apache.activemq.artemis.core.config.impl.ConfigurationImpl;
import org.apache.activemq.artemis.core.remoting.impl.netty.NettyAcceptor;
import org.apache.activemq.artemis.core.server.ActiveMQServer;
import org.apache.activemq.artemis.core.server.ActiveMQServers;
import org.apache.activemq.artemis.core.server.JournalType;
import org.apache.activemq.artemis.core.settings.impl.AddressFullMessagePolicy;
import org.apache.activemq.artemis.core.settings.impl.AddressSettings;
import org.jspecify.annotations.Nullable;
import org.slf4j.LoggerFactory;

/**
 * An MQTT broker in this process, for MQTT 3.1, 3.1.1 and 5, so that one machine needs nothing
 * else.
 *
 * <p>Retained messages, and QoS 1 messages for sessions that are away, are in a journal on the disk
 * before they are acknowledged, and survive a killed process. Above 64 MB of messages in memory, 32
 * for one subscription, they go to page files, and of those a killed process has lost some; {@code
 * KillsMain} shows it. When less than 200 MB of disk are left, the broker stops taking messages,
 * and says so in the log, until there is room again: publishers then wait.
 *
 * <p>In a flood of thousands a second it may deliver messages in an order slightly other than that
 * in which it took them; {@link #ARRIVAL_PROPERTY} has the true one. On a busy machine it may
 * publish the will of a client that has just taken leave. Its own warnings go to the logger {@code
 * org.apache.activemq}.
 *
 * <p>Anybody who reaches the port may publish and read. So it listens on the loopback address
 * unless told otherwise; do so only on a network whose every machine you trust, or use a broker
 * with users and TLS.
 *
 * <p>Safe for many threads.
 */
public final class EmbeddedBroker implements AutoCloseable {

  /**
   * MQTT 5 user property that the broker adds to every message: when it took it, in milliseconds
   * since 1970.
   */
  public static final String ARRIVAL_PROPERTY = "opercle-arrival-ms";

  /** The address on which nobody outside this machine can reach the broker. */
  public static final String LOOPBACK = "127.0.0.1";

  private static final long MEMORY_BYTES = 64L << 20;
  private static final int PAGE_BYTES = 4 << 20;
  private static final long LEAST_FREE_DISK_BYTES = 200L << 20;
  private static final long LOCK_TIMEOUT_MS = 2_000;
  private static final long START_TIMEOUT_S = 30;

  /** How often to look for sessions that have expired and wills that are due. */
  private static final long SESSION_SCAN_MS = 1_000;

  /** For MQTT 3 clients, which cannot say how long their session is to be kept: a day. */
  private static final int MQTT3_SESSION_EXPIRY_S = 86_400;

  private final ActiveMQServer server;
  private final FileChannel folderLock;
  private final String host;
  private final int port;

  private EmbeddedBroker(ActiveMQServer server, FileChannel folderLock, String host, int port) {
    this.server = server;
    this.folderLock = folderLock;
    this.host = host;
    this.port = port;
  }

  /**
   * Starts a broker that only this machine can reach.
   *
   * @param dataFolder for the journal; made if it is not there
   * @param port the TCP port, or 0 for any that is free
   * @throws BrokerStartException if it cannot start, with the reason and what to do
   */
  public static EmbeddedBroker start(Path dataFolder, int port) {
    return start(dataFolder, LOOPBACK, port);
  }

  /**
   * Starts a broker.
   *
   * @param dataFolder for the journal; made if it is not there
   * @param host the address to listen on
   * @param port the TCP port, or 0 for any that is free
   * @throws BrokerStartException if it cannot start, with the reason and what to do
   */
  public static EmbeddedBroker start(Path dataFolder, String host, int port) {
    requireFree(host, port);
    FileChannel folderLock = lock(dataFolder);
    ActiveMQServer server =
        ActiveMQServers.newActiveMQServer(configuration(dataFolder, host, port));
    try {
      server.start();
      if (!server.waitForActivation(START_TIMEOUT_S, TimeUnit.SECONDS)) {
        throw new BrokerStartException(
            "the MQTT broker did not start within %d s with the folder %s"
                .formatted(START_TIMEOUT_S, dataFolder));
      }
      NettyAcceptor acceptor = (NettyAcceptor) server.getRemotingService().getAcceptor("mqtt");
      if (acceptor == null || !acceptor.isStarted()) {
        throw taken(host, port, null);
      }
      return new EmbeddedBroker(server, folderLock, host, acceptor.getActualPort());
    } catch (BrokerStartException e) {
      stopQuietly(server, folderLock);
      throw e;
    } catch (Exception e) {
      stopQuietly(server, folderLock);
      throw new BrokerStartException(
          "the MQTT broker could not start with the folder %s: %s"
              .formatted(dataFolder, e.getMessage()),
          e);
    }
  }

  /** Two brokers on one journal would spoil it; the system frees the lock of a killed process. */
  private static FileChannel lock(Path folder) {
    FileChannel channel = null;
    try {
      Files.createDirectories(folder);
      channel =
          FileChannel.open(
              folder.resolve("broker.lock"), StandardOpenOption.CREATE, StandardOpenOption.WRITE);
      if (channel.tryLock() != null) {
        return channel;
      }
      channel.close();
    } catch (OverlappingFileLockException e) {
      closeQuietly(channel); // in this very process
    } catch (IOException e) {
      closeQuietly(channel);
      throw new BrokerStartException(
          "the MQTT broker cannot use the folder %s: %s".formatted(folder, e), e);
    }
    throw new BrokerStartException(
        "the folder %s is in use by another MQTT broker; is Opercle running already?"
            .formatted(folder));
  }

  private static void closeQuietly(@Nullable FileChannel channel) {
    if (channel == null) {
      return;
    }
    try {
      channel.close();
    } catch (IOException e) {
      // Only a lock was held with it.
    }
  }

  /** The server would log a taken port and go on without it, so it is tried first. */
  private static void requireFree(String host, int port) {
    try (ServerSocket probe = new ServerSocket()) {
      probe.setReuseAddress(true);
      probe.bind(new InetSocketAddress(InetAddress.getByName(host), port));
    } catch (UnknownHostException e) {
      throw new BrokerStartException("there is no address of the name " + host, e);
    } catch (IOException e) {
      throw taken(host, port, e);
    }
  }

  private static BrokerStartException taken(String host, int port, @Nullable IOException cause) {
    String message =
        "MQTT port %d on %s is taken by another program, or not allowed%s; choose another port"
            .formatted(port, host, cause == null ? "" : " (" + cause.getMessage() + ")");
    return cause == null
        ? new BrokerStartException(message)
        : new BrokerStartException(message, cause);
  }

  private static Configuration configuration(Path folder, String host, int port) {
    ConfigurationImpl configuration = new ConfigurationImpl();
    configuration.setName("opercle");
    configuration.setSecurityEnabled(false);
    configuration.setJMXManagementEnabled(false);
    configuration.setPersistenceEnabled(true);
    configuration.setJournalType(JournalType.NIO);
    configuration.setJournalDirectory(folder.resolve("journal").toString());
    configuration.setBindingsDirectory(folder.resolve("bindings").toString());
    configuration.setPagingDirectory(folder.resolve("paging").toString());
    configuration.setLargeMessagesDirectory(folder.resolve("large").toString());
    configuration.setNodeManagerLockDirectory(folder.resolve("journal").toString());
    configuration.setJournalLockAcquisitionTimeout(LOCK_TIMEOUT_MS);
    configuration.setGlobalMaxSize(MEMORY_BYTES);
    // The default, 90 % of the disk, would stop the probes on a disk with many GB to spare.
    configuration.setMinDiskFree(LEAST_FREE_DISK_BYTES);
    configuration.setMqttSessionScanInterval(SESSION_SCAN_MS);
    configuration.registerBrokerPlugin(new ArrivalStamp(InstantSource.system()));

    AddressSettings topics = new AddressSettings();
    topics.setAddressFullMessagePolicy(AddressFullMessagePolicy.PAGE);
    topics.setMaxSizeBytes(MEMORY_BYTES / 2);
    topics.setPageSizeBytes(PAGE_BYTES);
    topics.setMaxDeliveryAttempts(-1); // a subscriber that fails ten times must not lose a reading
    configuration.addAddressSetting("#", topics);
    try {
      configuration.addAcceptorConfiguration(
          "mqtt",
          address(host, port)
              + "?protocols=MQTT&defaultMqttSessionExpiryInterval="
              + MQTT3_SESSION_EXPIRY_S);
    } catch (Exception e) {
      throw new BrokerStartException(
          "the MQTT broker cannot listen on %s:%d: %s".formatted(host, port, e.getMessage()), e);
    }
    return configuration;
  }

  /** The port that it listens on. */
  public int port() {
    return port;
  }

  /** Where clients on this machine find it. */
  public URI uri() {
    return URI.create(address(host, port));
  }

  /** Put together without a format, which in some countries writes digits that no URI has. */
  private static String address(String host, int port) {
    return "tcp://" + host + ":" + port;
  }

  /** Stops it; clients are cut off, and sessions and messages stay in the journal. */
  @Override
  public void close() {
    stopQuietly(server, folderLock);
  }

  private static void stopQuietly(ActiveMQServer server, FileChannel folderLock) {
    try {
      server.stop();
    } catch (Exception e) {
      LoggerFactory.getLogger(EmbeddedBroker.class)
          .warn("The embedded MQTT broker did not stop cleanly: {}", e.getMessage());
    }
    closeQuietly(folderLock);
  }
}
