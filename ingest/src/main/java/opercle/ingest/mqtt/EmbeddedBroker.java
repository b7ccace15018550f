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
import java.security.SecureRandom;
import java.util.HexFormat;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.apache.activemq.artemis.core.config.Configuration;
import org.apache.activemq.artemis.core.remoting.impl.netty.NettyAcceptor;
import org.apache.activemq.artemis.core.server.ActiveMQServer;
import org.apache.activemq.artemis.core.server.ActiveMQServers;
import org.jspecify.annotations.Nullable;
import org.slf4j.LoggerFactory;

/**
 * An MQTT broker in this process, for MQTT 3.1, 3.1.1 and 5, so that one machine needs nothing
 * else.
 *
 * <p>Retained messages, and QoS 1 messages for sessions that are away, are in a journal on the disk
 * before they are acknowledged, and survive a killed process. What waits is in memory too, and
 * bounded by {@link Backlog}: publishers wait when the sessions that are kept whole fall far
 * behind; other sessions lose their oldest messages past 10,000. When less than 200 MB of disk are
 * left, the broker takes no messages, and says so in the log, until there is room again.
 *
 * <p>In a flood of thousands a second it may deliver messages in an order slightly other than that
 * in which it took them; {@link #ARRIVAL_PROPERTY} has the true one. On a busy machine it may
 * publish the will of a client that has just taken leave. Its own warnings go to the logger {@code
 * org.apache.activemq}.
 *
 * <p>Without a {@linkplain BrokerSettings.Door door} anybody who reaches the port may publish and
 * read: leave it on the loopback address then. With one it demands names and passwords, and each
 * client may send to and read its own topics only; {@link Doorkeeper} decides. Opercle's own
 * services then come in by a port of their own on loopback.
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

  /** As whom Opercle's own services come in where everybody must be named. */
  public static final String OWN_USER = "opercle";

  private static final long START_TIMEOUT_S = 30;

  private final ActiveMQServer server;
  private final FileChannel folderLock;
  private final int port;
  private final URI inside;
  private final Optional<String> ownPassword;

  private EmbeddedBroker(
      ActiveMQServer server,
      FileChannel folderLock,
      int port,
      URI inside,
      Optional<String> ownPassword) {
    this.server = server;
    this.folderLock = folderLock;
    this.port = port;
    this.inside = inside;
    this.ownPassword = ownPassword;
  }

  /**
   * Starts a broker that only this machine can reach, and everybody on it.
   *
   * @param dataFolder for the journal; made if it is not there
   * @param port the TCP port, or 0 for any that is free
   * @throws BrokerStartException if it cannot start, with the reason and what to do
   */
  public static EmbeddedBroker start(Path dataFolder, int port) {
    return start(BrokerSettings.onLoopback(dataFolder, port));
  }

  /**
   * Starts a broker.
   *
   * @throws BrokerStartException if it cannot start, with the reason and what to do
   */
  public static EmbeddedBroker start(BrokerSettings settings) {
    return start(settings, Backlog.Limits.USUAL);
  }

  static EmbeddedBroker start(BrokerSettings settings, Backlog.Limits limits) {
    requireFree(settings.host(), settings.port());
    FileChannel folderLock = lock(settings.folder());
    String ownPassword = secret();
    Configuration configuration = BrokerConfiguration.of(settings);
    Backlog backlog =
        new Backlog(settings.keptWhole(), limits, configuration.getWildcardConfiguration());
    configuration.registerBrokerPlugin(backlog);
    Optional<Doorkeeper> doorkeeper =
        settings.door().map(door -> doorkeeper(door, configuration, ownPassword));
    ActiveMQServer server =
        doorkeeper
            .map(keeper -> ActiveMQServers.newActiveMQServer(configuration, null, keeper))
            .orElseGet(() -> ActiveMQServers.newActiveMQServer(configuration));
    try {
      // Before the doors open: no client may come in unguarded.
      server.getServiceRegistry().addIncomingInterceptor(backlog);
      server
          .getServiceRegistry()
          .addIncomingInterceptor(
              new SubscriptionGuard(settings.keptWhole(), settings.door().isEmpty()));
      doorkeeper.ifPresent(
          keeper -> server.getServiceRegistry().addIncomingInterceptor(new WillGuard(keeper)));
      server.start();
      if (!server.waitForActivation(START_TIMEOUT_S, TimeUnit.SECONDS)) {
        throw new BrokerStartException(
            "the MQTT broker did not start within %d s with the folder %s"
                .formatted(START_TIMEOUT_S, settings.folder()));
      }
      int port = portOf(server, BrokerConfiguration.FRONT, settings);
      URI inside =
          settings.door().isEmpty()
              ? URI.create(BrokerConfiguration.address(settings.host(), port))
              : URI.create(
                  BrokerConfiguration.address(
                      LOOPBACK, portOf(server, BrokerConfiguration.INSIDE, settings)));
      backlog.watch(server);
      return new EmbeddedBroker(
          server, folderLock, port, inside, settings.door().map(door -> ownPassword));
    } catch (BrokerStartException e) {
      stopQuietly(server, folderLock);
      throw e;
    } catch (Exception e) {
      stopQuietly(server, folderLock);
      throw new BrokerStartException(
          "the MQTT broker could not start with the folder %s: %s"
              .formatted(settings.folder(), e.getMessage()),
          e);
    }
  }

  private static Doorkeeper doorkeeper(
      BrokerSettings.Door door, Configuration configuration, String ownPassword) {
    return new Doorkeeper(
        ownPassword, door.clients(), door.passwords(), configuration.getWildcardConfiguration());
  }

  private static int portOf(ActiveMQServer server, String acceptor, BrokerSettings settings) {
    if (server.getRemotingService().getAcceptor(acceptor) instanceof NettyAcceptor netty
        && netty.isStarted()) {
      return netty.getActualPort();
    }
    throw taken(settings.host(), settings.port(), null);
  }

  /** 256 random bits. */
  static String secret() {
    byte[] bytes = new byte[32];
    new SecureRandom().nextBytes(bytes);
    return HexFormat.of().formatHex(bytes);
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

  /** The port that it listens on. */
  public int port() {
    return port;
  }

  /** Where Opercle's own services find it; where nobody needs to be named, others too. */
  public URI uri() {
    return inside;
  }

  /** How one of Opercle's own services comes in: it may do everything. */
  public MqttSettings own(String clientId) {
    MqttSettings settings = MqttSettings.of(inside, clientId);
    return ownPassword.map(p -> settings.withUser(OWN_USER, p)).orElse(settings);
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
