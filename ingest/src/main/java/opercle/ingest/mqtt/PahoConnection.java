// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.function.Consumer;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttActionListener;
import org.eclipse.paho.mqttv5.client.MqttAsyncClient;
import org.eclipse.paho.mqttv5.client.MqttCallback;
import org.eclipse.paho.mqttv5.client.MqttClientException;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.client.MqttDisconnectResponse;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.MqttSubscription;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;
import org.eclipse.paho.mqttv5.common.packet.UserProperty;

/**
 * One connection to a broker, from connect to its end: the only class that touches the client
 * library.
 *
 * <p>A new connection is a new client. The library's own reconnect is not used: it does not cover
 * the first connect, it re-sends publishes in a form that some brokers refuse, and an
 * acknowledgement of a message from the old connection could hit another message that has the same
 * packet id on the new one. Here an acknowledgement goes to the connection that brought the message
 * or nowhere.
 *
 * <p>QoS 0 and 1 only; the library's QoS 2 with manual acknowledgement is at fault. All methods are
 * safe for many threads. Callbacks run on the library's threads and must not block for long.
 */
final class PahoConnection {

  private static final int FIRST_ERROR_CODE = 0x80;
  private static final long ANSWER_TIMEOUT_MS = 10_000;
  private static final Duration FAREWELL = Duration.ofSeconds(2);

  /** What a connection tells its owner. */
  interface Events {
    void arrived(Delivery delivery);

    /** The connection has ended. */
    void lost(String why);
  }

  /** The broker already has as many of our messages in flight as it allows. */
  static final class TooManyInFlightException extends Exception {
    private static final long serialVersionUID = 1L;

    TooManyInFlightException(Throwable cause) {
      super(cause);
    }
  }

  private final MqttAsyncClient client;
  private final CompletableFuture<Boolean> resumed = new CompletableFuture<>();
  private final int number;
  private final InstantSource clock;
  private final Events events;

  private PahoConnection(MqttAsyncClient client, int number, InstantSource clock, Events events) {
    this.client = client;
    this.number = number;
    this.clock = clock;
    this.events = events;
  }

  /**
   * Connects, which takes ten seconds at the most.
   *
   * @param number counts the connections of one link
   * @param keepsSession whether the broker is to keep the session after the connection. Where
   *     nothing is subscribed to there is nothing to keep; and the embedded broker publishes the
   *     will at once only if the session ends with the connection
   * @param receiveMaximum how many messages the broker may send before one is acknowledged
   * @throws MqttLinkException if it did not come about, with the reason in words
   */
  static PahoConnection connect(
      MqttSettings settings,
      Optional<Will> will,
      boolean keepsSession,
      int receiveMaximum,
      int number,
      InstantSource clock,
      Events events) {
    MqttAsyncClient client;
    try {
      client =
          new MqttAsyncClient(
              settings.broker().toString(), settings.clientId(), new MemoryPersistence());
    } catch (MqttException | IllegalArgumentException e) {
      throw new MqttLinkException("cannot use %s: %s".formatted(settings, e.getMessage()), e);
    }
    PahoConnection connection = new PahoConnection(client, number, clock, events);
    client.setManualAcks(true);
    client.setCallback(connection.new Callback());
    try {
      IMqttToken token = client.connect(options(settings, will, keepsSession, receiveMaximum));
      token.waitForCompletion(ANSWER_TIMEOUT_MS);
      connection.resumed.complete(token.getSessionPresent());
      return connection;
    } catch (MqttException e) {
      connection.resumed.complete(false);
      connection.abandon();
      throw new MqttLinkException(PahoWords.whyNoConnection(settings, e), e);
    } catch (RuntimeException e) {
      connection.resumed.complete(false);
      connection.abandon();
      throw e;
    }
  }

  private static MqttConnectionOptions options(
      MqttSettings settings, Optional<Will> will, boolean keepsSession, int receiveMaximum) {
    MqttConnectionOptions options = new MqttConnectionOptions();
    options.setCleanStart(!keepsSession);
    options.setSessionExpiryInterval(
        keepsSession
            ? Math.min(settings.sessionExpiry().toSeconds(), 0xffff_ffffL) // the most is for ever
            : 0L);
    options.setReceiveMaximum(receiveMaximum);
    options.setAutomaticReconnect(false);
    options.setUseSubscriptionIdentifiers(false);
    options.setKeepAliveInterval((int) settings.keepAlive().toSeconds());
    options.setConnectionTimeout((int) (ANSWER_TIMEOUT_MS / 1000));
    settings.user().ifPresent(options::setUserName);
    settings.password().ifPresent(p -> options.setPassword(p.getBytes(StandardCharsets.UTF_8)));
    if (settings.isEncrypted()) {
      settings
          .caCertificates()
          .ifPresent(pem -> options.setSocketFactory(TrustedCertificates.socketFactory(pem)));
    }
    will.ifPresent(
        w -> {
          MqttMessage message = new MqttMessage(w.payload(), 1, w.retained(), null);
          options.setWill(w.topic(), message);
        });
    return options;
  }

  boolean isConnected() {
    return client.isConnected();
  }

  /** Whether the broker went on with an earlier session, subscriptions and all. */
  boolean isResumed() {
    return resumed.join();
  }

  /**
   * Subscribes at QoS 1 or 0, and waits for the broker's word. Retained messages come only for
   * subscriptions that the session did not have.
   *
   * @throws MqttLinkException if the broker refuses one of the filters
   */
  void subscribe(List<String> filters, int qos) {
    MqttSubscription[] subscriptions =
        filters.stream().map(f -> subscription(f, qos)).toArray(MqttSubscription[]::new);
    try {
      IMqttToken token = client.subscribe(subscriptions);
      token.waitForCompletion(ANSWER_TIMEOUT_MS);
      int[] codes = token.getReasonCodes();
      for (int i = 0; codes != null && i < codes.length && i < filters.size(); i++) {
        if (codes[i] >= FIRST_ERROR_CODE) {
          throw new MqttLinkException(
              "the broker refuses the subscription to %s: %s"
                  .formatted(filters.get(i), PahoWords.reason(codes[i])));
        }
      }
    } catch (MqttException e) {
      throw new MqttLinkException(
          "cannot subscribe to %s: %s".formatted(filters, PahoWords.why(e)), e);
    }
  }

  /**
   * Ends subscriptions, and waits for the broker's word.
   *
   * @throws MqttLinkException if it gives none
   */
  void unsubscribe(List<String> filters) {
    try {
      client.unsubscribe(filters.toArray(String[]::new)).waitForCompletion(ANSWER_TIMEOUT_MS);
    } catch (MqttException e) {
      throw new MqttLinkException(
          "cannot unsubscribe from %s: %s".formatted(filters, PahoWords.why(e)), e);
    }
  }

  private static MqttSubscription subscription(String filter, int qos) {
    MqttSubscription subscription = new MqttSubscription(filter, qos);
    // A shared subscription gets no retained messages and must not ask (MQTT 5, 4.8.2).
    subscription.setRetainHandling(filter.startsWith("$share/") ? 0 : 1);
    return subscription;
  }

  /**
   * Sends a message. {@code done} gets nothing once the broker has acknowledged it (QoS 0: once it
   * is on its way), or the reason if the broker refuses it. If the connection ends first, {@code
   * done} may never be called.
   *
   * @throws TooManyInFlightException if it must wait for earlier ones
   * @throws MqttLinkException if it cannot be sent now
   */
  void publish(
      String topic, byte[] payload, int qos, boolean retained, Consumer<Optional<String>> done)
      throws TooManyInFlightException {
    MqttActionListener listener =
        new MqttActionListener() {
          @Override
          public void onSuccess(IMqttToken token) {
            int[] codes = token.getReasonCodes();
            boolean refused = codes != null && codes.length > 0 && codes[0] >= FIRST_ERROR_CODE;
            done.accept(refused ? Optional.of(PahoWords.reason(codes[0])) : Optional.empty());
          }

          @Override
          public void onFailure(IMqttToken token, Throwable cause) {
            int[] codes = token.getReasonCodes();
            if (codes != null && codes.length > 0 && codes[0] >= FIRST_ERROR_CODE) {
              done.accept(Optional.of(PahoWords.reason(codes[0])));
            }
            // Otherwise the connection has ended: lost() follows, and the message is sent again.
          }
        };
    try {
      var unused = client.publish(topic, payload, qos, retained, null, listener);
    } catch (MqttException e) {
      if (e.getReasonCode() == MqttClientException.REASON_CODE_MAX_INFLIGHT) {
        throw new TooManyInFlightException(e);
      }
      throw new MqttLinkException("cannot publish on %s: %s".formatted(topic, PahoWords.why(e)), e);
    } catch (IllegalArgumentException e) {
      throw new MqttLinkException("cannot publish on %s: %s".formatted(topic, e.getMessage()), e);
    }
  }

  /** Says farewell, so that the broker does not publish the will, and frees every thread. */
  void close() {
    try {
      client.disconnect(0).waitForCompletion(FAREWELL.toMillis());
    } catch (MqttException e) {
      // Not connected any more, or the broker does not answer.
    }
    abandon();
  }

  /** Frees every thread of a connection that has failed. */
  void abandon() {
    try {
      client.disconnectForcibly(0, FAREWELL.toMillis(), false);
    } catch (MqttException e) {
      // It was not connected.
    }
    try {
      client.close(true);
    } catch (MqttException e) {
      // Closed already.
    }
  }

  private void acknowledge(int packetId) {
    try {
      client.messageArrivedComplete(packetId, 1);
    } catch (MqttException | RuntimeException e) {
      // The connection has ended; the broker will send the message again. Once the client is closed
      // the library has nothing left to acknowledge with, and throws a NullPointerException.
    }
  }

  /** Where the library calls back. */
  private final class Callback implements MqttCallback {

    @Override
    public void messageArrived(String topic, MqttMessage message) {
      int packetId = message.getId();
      boolean acknowledged = message.getQos() > 0;
      events.arrived(
          new Delivery(
              topic,
              message.getPayload(),
              message.getQos(),
              acknowledged ? packetId : 0,
              message.isRetained(),
              brokerArrival(message.getProperties()),
              clock.instant(),
              number,
              resumed.join(), // known a moment after the broker's answer to the connect
              acknowledged ? () -> acknowledge(packetId) : () -> {}));
    }

    @Override
    public void disconnected(MqttDisconnectResponse response) {
      events.lost(PahoWords.why(response));
    }

    @Override
    public void mqttErrorOccurred(MqttException exception) {
      // Whatever ends the connection comes as disconnected() too.
    }

    @Override
    public void deliveryComplete(IMqttToken token) {
      // The listener given to publish has been told.
    }

    @Override
    public void connectComplete(boolean reconnect, String serverUri) {
      // connect() waits for it.
    }

    @Override
    public void authPacketArrived(int reasonCode, MqttProperties properties) {
      // Enhanced authentication is not used.
    }
  }

  /** The broker's own note comes last, whatever the sender may have put before it. */
  private static Optional<Instant> brokerArrival(MqttProperties properties) {
    List<UserProperty> all = properties.getUserProperties();
    for (int i = all.size() - 1; i >= 0; i--) {
      if (all.get(i).getKey().equals(EmbeddedBroker.ARRIVAL_PROPERTY)) {
        try {
          return Optional.of(Instant.ofEpochMilli(Long.parseLong(all.get(i).getValue())));
        } catch (NumberFormatException e) {
          return Optional.empty();
        }
      }
    }
    return Optional.empty();
  }
}
