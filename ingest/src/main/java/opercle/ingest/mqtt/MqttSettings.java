// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.net.URI;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Locale;
import java.util.Optional;

/**
 * Which broker to talk to, and as whom.
 *
 * @param broker {@code tcp://host:port} or {@code ssl://host:port}; {@code mqtt} and {@code mqtts}
 *     mean the same. Without a port 1883 and 8883
 * @param clientId the name of the session at the broker: fixed for one service, and used by nothing
 *     else, or the two will push each other out
 * @param user user name, if the broker asks for one
 * @param password password; never shown by {@link #toString}
 * @param caCertificates PEM file with the certificates that the broker's must descend from; without
 *     it those of the Java runtime
 * @param sessionExpiry how long the broker keeps the session, and with it unread messages, after
 *     the connection has ended
 * @param keepAlive the longest silence on the line before either side asks whether the other is
 *     there, in whole seconds
 */
public record MqttSettings(
    URI broker,
    String clientId,
    Optional<String> user,
    Optional<String> password,
    Optional<Path> caCertificates,
    Duration sessionExpiry,
    Duration keepAlive) {

  /** A day: a night's outage loses no reading. */
  public static final Duration DEFAULT_SESSION_EXPIRY = Duration.ofDays(1);

  /** Short, as a minute is long for fish: a dead line is noticed within one and a half times it. */
  public static final Duration DEFAULT_KEEP_ALIVE = Duration.ofSeconds(15);

  private static final long LONGEST_KEEP_ALIVE_S = 65_535;

  /**
   * @throws IllegalArgumentException with the field, its value and what it must be
   */
  public MqttSettings {
    broker = normalised(broker);
    if (clientId.isBlank()) {
      throw new IllegalArgumentException("clientId must not be blank");
    }
    if (password.isPresent() && user.isEmpty()) {
      throw new IllegalArgumentException("password is set but user is not; set both or neither");
    }
    if (sessionExpiry.isNegative()) {
      throw new IllegalArgumentException(
          "sessionExpiry must not be negative but was " + sessionExpiry);
    }
    if (keepAlive.toSeconds() < 1 || keepAlive.toSeconds() > LONGEST_KEEP_ALIVE_S) {
      throw new IllegalArgumentException(
          "keepAlive must be 1 s to %d s but was %s".formatted(LONGEST_KEEP_ALIVE_S, keepAlive));
    }
  }

  /** Without user, with the usual times. */
  public static MqttSettings of(URI broker, String clientId) {
    return new MqttSettings(
        broker,
        clientId,
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        DEFAULT_SESSION_EXPIRY,
        DEFAULT_KEEP_ALIVE);
  }

  /** The same with user name and password. */
  public MqttSettings withUser(String newUser, String newPassword) {
    return new MqttSettings(
        broker,
        clientId,
        Optional.of(newUser),
        Optional.of(newPassword),
        caCertificates,
        sessionExpiry,
        keepAlive);
  }

  /** The same with a PEM file of certificates to trust. */
  public MqttSettings withCaCertificates(Path pem) {
    return new MqttSettings(
        broker, clientId, user, password, Optional.of(pem), sessionExpiry, keepAlive);
  }

  /** Whether the connection is encrypted. */
  public boolean isEncrypted() {
    return broker.getScheme().equals("ssl");
  }

  private static URI normalised(URI broker) {
    String scheme = String.valueOf(broker.getScheme()).toLowerCase(Locale.ROOT);
    String normal =
        switch (scheme) {
          case "tcp", "mqtt" -> "tcp";
          case "ssl", "tls", "mqtts" -> "ssl";
          default ->
              throw new IllegalArgumentException(
                  "broker must start with tcp:// or ssl:// but was " + broker);
        };
    if (broker.getHost() == null || broker.getRawUserInfo() != null) {
      throw new IllegalArgumentException(
          "broker must be %s://host:port, with user and password in their own fields"
              .formatted(scheme));
    }
    int usualPort = normal.equals("tcp") ? 1883 : 8883;
    int port = broker.getPort() < 0 ? usualPort : broker.getPort();
    // Not by a format, which in some countries writes digits that no URI has.
    return URI.create(normal + "://" + broker.getHost() + ":" + port);
  }

  @Override
  public String toString() {
    return "%s as %s%s".formatted(broker, clientId, user.map(u -> ", user " + u).orElse(""));
  }
}
