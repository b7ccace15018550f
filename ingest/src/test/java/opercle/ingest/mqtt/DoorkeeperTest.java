// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.awaitility.Awaitility.await;

import io.netty.handler.ssl.JdkSslContext;
import io.netty.handler.ssl.SslContextBuilder;
import io.netty.handler.ssl.SslProvider;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.net.InetAddress;
import java.net.Socket;
import java.net.SocketException;
import java.net.URI;
import java.nio.file.Path;
import java.time.Duration;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.function.Supplier;
import javax.net.ssl.SSLContext;
import opercle.ingest.TestCertificate;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Who gets in to the embedded broker, and how far; with real clients, and with raw bytes. */
class DoorkeeperTest {

  private static final Duration PATIENCE = Duration.ofSeconds(30);

  private static final List<BrokerClient> CLIENTS =
      List.of(
          new BrokerClient("probe-h1", "hash of one", List.of("tanks/h1/#"), List.of()),
          new BrokerClient("probe-h2", "hash of two", List.of("tanks/h2/#"), List.of()),
          new BrokerClient("display", "hash of three", List.of(), List.of("opercle/#", "tanks/#")));

  @TempDir Path folder;

  private final List<String> heard = Collections.synchronizedList(new ArrayList<>());
  private @Nullable EmbeddedBroker started;

  private void start(Optional<Supplier<SSLContext>> tls) {
    PasswordCheck check = (password, hash) -> hash.equals("hash of " + password);
    started =
        EmbeddedBroker.start(
            new BrokerSettings(
                folder.resolve("broker"),
                EmbeddedBroker.LOOPBACK,
                0,
                Set.of("opercle-serve"),
                Optional.of(new BrokerSettings.Door(CLIENTS, check, tls))));
  }

  @AfterEach
  void stop() {
    broker().close();
  }

  private EmbeddedBroker broker() {
    return Objects.requireNonNull(started);
  }

  private MqttSettings front(String clientId) {
    return MqttSettings.of(URI.create("tcp://127.0.0.1:" + broker().port()), clientId);
  }

  private MqttLink listener(MqttSettings settings, String filter) {
    return MqttLink.subscribe(
        settings,
        List.of(filter),
        List.of(),
        new MqttLink.Inbox(
            1,
            true,
            100,
            delivery -> {
              heard.add(delivery.topic());
              delivery.acknowledge();
            }),
        InstantSource.system());
  }

  private static void connected(MqttLink link) {
    await().atMost(PATIENCE).until(() -> link.state().connected());
  }

  private static String trouble(MqttLink link) {
    // The library's threads may stumble over a connection that was refused.
    await()
        .dontCatchUncaughtExceptions()
        .atMost(PATIENCE)
        .until(() -> link.state().trouble().isPresent());
    return link.state().trouble().orElseThrow();
  }

  private static void publish(MqttLink link, String topic) throws Exception {
    link.publish(topic, "8.1".getBytes(UTF_8), 1, false)
        .get(PATIENCE.toSeconds(), TimeUnit.SECONDS);
  }

  @Test
  void probe_sendsToItsOwnTopicsOnlyAndOpercleHearsIt() throws Exception {
    start(Optional.empty());
    try (MqttLink serve = listener(broker().own("opercle-serve"), "#");
        MqttLink probe = MqttLink.open(front("probe-7").withUser("probe-h1", "one"))) {
      connected(serve);
      publish(probe, "tanks/h1/oxygen");
      for (String topic :
          List.of(
              "tanks/h2/oxygen",
              "tanks/h10/oxygen",
              "tanks",
              "/tanks/h1/oxygen",
              "opercle/sallowmere/acknowledge",
              "activemq/management",
              "activemq.management",
              "$sys/mqtt/sessions",
              "tanks/h1/x\\",
              "tanks.h2.oxygen",
              "tanks\\/h2/oxygen",
              "tanks/h1/x::opercle-serve.tanks",
              "tanks/h1/" + "x".repeat(2_000))) {
        assertThatThrownBy(() -> publish(probe, topic))
            .as(topic)
            .isInstanceOf(ExecutionException.class)
            .hasMessageContaining("not authorised");
      }
      publish(probe, "tanks/h1/oxygen/2");

      await().atMost(PATIENCE).until(() -> heard.contains("tanks/h1/oxygen/2"));
      assertThat(heard).containsExactly("tanks/h1/oxygen", "tanks/h1/oxygen/2");
    }
  }

  @Test
  void probe_readsNothing() {
    start(Optional.empty());
    for (String filter : List.of("#", "tanks/#", "tanks/h1/#", "opercle/#", "+/+/state")) {
      try (MqttLink nosy = listener(front("probe-7").withUser("probe-h1", "one"), filter)) {
        assertThat(trouble(nosy)).as(filter).contains("refuses the subscription");
      }
    }
  }

  @Test
  void display_readsWhatItMayAndSendsNothing() throws Exception {
    start(Optional.empty());
    MqttSettings display = front("display-1").withUser("display", "three");
    try (MqttLink reading = listener(display, "opercle/#");
        MqttLink own = MqttLink.open(broker().own("opercle-announce"));
        MqttLink sending = MqttLink.open(front("display-2").withUser("display", "three"))) {
      connected(reading);
      publish(own, "opercle/sallowmere/monitor");
      await().atMost(PATIENCE).until(() -> heard.contains("opercle/sallowmere/monitor"));

      assertThatThrownBy(() -> publish(sending, "opercle/sallowmere/acknowledge"))
          .hasMessageContaining("not authorised");
      assertThatThrownBy(() -> publish(sending, "tanks/h1/oxygen"))
          .hasMessageContaining("not authorised");
    }
    for (String filter : List.of("#", "+/#", "$sys/#", "activemq/#", "$SYS/#")) {
      try (MqttLink nosy = listener(front("display-3").withUser("display", "three"), filter)) {
        assertThat(trouble(nosy)).as(filter).contains("refuses the subscription");
      }
    }
  }

  /**
   * In the broker's own words a share is the queue of that name: it would take readings away, or,
   * refused, delete the queue.
   */
  @ParameterizedTest
  @ValueSource(
      strings = {
        "$share/opercle-serve/tanks/#",
        "$share/opercle-serve.tanks/#",
        "$share/any/tanks/#",
        "tanks/#::opercle-serve.tanks.#"
      })
  void display_cannotTakeMessagesOutOfOperclesSession(String filter) throws Exception {
    start(Optional.empty());
    listenOnce(broker().own("opercle-serve"), "tanks/#");
    try (MqttLink thief = listener(front("display-1").withUser("display", "three"), filter);
        MqttLink probe = MqttLink.open(front("probe-7").withUser("probe-h1", "one"))) {
      assertThat(trouble(thief)).isNotEmpty();
      publish(probe, "tanks/h1/oxygen");
    }
    heard.clear();
    try (MqttLink serve = listener(broker().own("opercle-serve"), "tanks/#")) {
      connected(serve);
      await().atMost(PATIENCE).until(() -> heard.contains("tanks/h1/oxygen"));
    }
  }

  /** On loopback too, where everybody may do everything else. */
  @Test
  void shareCalledAsOperclesSession_isRefusedWithoutADoorToo() {
    started =
        EmbeddedBroker.start(
            BrokerSettings.onLoopback(folder, 0).keepingWhole(Set.of("opercle-serve")));
    try (MqttLink thief = listener(front("display-1"), "$share/opercle-serve/tanks/#")) {
      assertThat(trouble(thief)).isNotEmpty();
    }
    try (MqttLink sharing = listener(front("display-1"), "$share/any/tanks/#")) {
      connected(sharing);
    }
  }

  private void listenOnce(MqttSettings settings, String filter) {
    try (MqttLink link = listener(settings, filter)) {
      connected(link);
    }
  }

  @Test
  void strangers_stayOutsideAndHearNoPasswords() {
    start(Optional.empty());
    List<MqttSettings> strangers =
        List.of(
            front("probe-7"),
            front("probe-7").withUser("probe-h1", "two"),
            front("probe-7").withUser("probe-h1", "hash of one"),
            front("probe-7").withUser("nobody", "one"),
            front("probe-7").withUser(EmbeddedBroker.OWN_USER, "opercle"),
            front("probe-7").withUser("ACTIVEMQ.CLUSTER.ADMIN.USER", "CHANGE ME!!"),
            MqttSettings.of(broker().uri(), "probe-7"),
            MqttSettings.of(broker().uri(), "probe-7").withUser("probe-h1", "two"));
    for (MqttSettings settings : strangers) {
      try (MqttLink link = MqttLink.open(settings)) {
        assertThat(trouble(link))
            .as(settings.toString())
            .containsAnyOf("wrong user name or password", "not authorised");
      }
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"opercle-serve", "opercle", "opercle-serve.tanks", "a.b", "a b"})
  void clientIdThatIsOpercles_isRefused(String clientId) {
    start(Optional.empty());
    try (MqttLink link = MqttLink.open(front(clientId).withUser("probe-h1", "one"))) {
      assertThat(trouble(link)).contains("client id");
    }
  }

  @Test
  void probe_cannotPushAnotherFromTheLine() {
    start(Optional.empty());
    try (MqttLink one = MqttLink.open(front("one").withUser("probe-h1", "one"))) {
      connected(one);
      try (MqttLink other = MqttLink.open(front("one").withUser("probe-h2", "two"))) {
        assertThat(trouble(other)).contains("client id");
      }
      assertThat(one.state().connected()).isTrue();
    }
  }

  @Test
  void will_goesNowhereThatItsClientMayNotSend() throws Exception {
    start(Optional.empty());
    try (MqttLink serve = listener(broker().own("opercle-serve"), "#")) {
      connected(serve);
      assertThat(leavesAWill("opercle/sallowmere/acknowledge", "w-1")).isFalse();
      assertThat(leavesAWill("tanks/h1/oxygen", "w-2")).isTrue();

      await().atMost(PATIENCE).until(() -> heard.contains("tanks/h1/oxygen"));
      assertThat(heard).containsExactly("tanks/h1/oxygen");
    }
  }

  /**
   * Cuts the line without a farewell, so that the broker publishes the will; whether it was let in.
   */
  private boolean leavesAWill(String topic, String clientId) throws IOException {
    ByteArrayOutputStream body = new ByteArrayOutputStream();
    text(body, "MQTT");
    body.write(4); // MQTT 3.1.1
    body.write(0b1100_0110); // name, password, will, clean session
    body.write(0);
    body.write(60);
    text(body, clientId);
    text(body, topic);
    text(body, "8.1");
    text(body, "probe-h1");
    text(body, "one");
    try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), broker().port())) {
      socket.getOutputStream().write(packet(0x10, body.toByteArray()));
      byte[] answer = socket.getInputStream().readNBytes(4);
      socket.setSoLinger(true, 0);
      return Arrays.equals(answer, new byte[] {0x20, 2, 0, 0});
    }
  }

  /** Netty's decoder refuses wildcards and NUL in a topic; it must cost the connection only. */
  @ParameterizedTest
  @ValueSource(strings = {"tanks/h1/#", "tanks/+/oxygen", "tanks/h1/a\u0000b", ""})
  void topicThatIsNone_endsTheConnectionAndNothingElse(String topic) throws Exception {
    start(Optional.empty());
    try (MqttLink serve = listener(broker().own("opercle-serve"), "#");
        Socket socket = rawProbe()) {
      connected(serve);
      ByteArrayOutputStream body = new ByteArrayOutputStream();
      text(body, topic);
      body.write(0);
      body.write(1); // packet id
      body.writeBytes("8.1".getBytes(UTF_8));
      socket.getOutputStream().write(packet(0x32, body.toByteArray()));
      assertEnds(socket);

      try (MqttLink probe = MqttLink.open(front("probe-7").withUser("probe-h1", "one"))) {
        publish(probe, "tanks/h1/oxygen");
      }
      await().atMost(PATIENCE).until(() -> heard.contains("tanks/h1/oxygen"));
      assertThat(heard).containsExactly("tanks/h1/oxygen");
    }
  }

  @Test
  void hugePacket_isCutOffAtItsLength() throws Exception {
    start(Optional.empty());
    try (Socket socket = rawProbe()) {
      // A PUBLISH of 256 MB, of which nothing more comes.
      socket.getOutputStream().write(new byte[] {0x32, -1, -1, -1, 0x7f, 0, 5});
      assertEnds(socket);
    }
  }

  @Test
  void webSocket_isRefused() throws Exception {
    start(Optional.empty());
    try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), broker().port())) {
      socket
          .getOutputStream()
          .write(
              """
              GET /mqtt HTTP/1.1\r
              Host: 127.0.0.1\r
              Upgrade: websocket\r
              Connection: Upgrade\r
              Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r
              Sec-WebSocket-Protocol: mqtt\r
              Sec-WebSocket-Version: 13\r
              Origin: http://evil.example\r
              \r
              """
                  .getBytes(UTF_8));
      byte[] connect = {
        0x10, 0x0d, 0, 4, 'M', 'Q', 'T', 'T', 4, 2, 0, 60, 0, 1, 'x' // without a name
      };
      byte[] frame = new byte[6 + connect.length];
      frame[0] = (byte) 0x82;
      frame[1] = (byte) (0x80 | connect.length); // masked with zeros
      System.arraycopy(connect, 0, frame, 6, connect.length);
      socket.getOutputStream().write(frame);
      assertEnds(socket);
    }
  }

  @Test
  void encrypted_takesTheCertificateAsPem() throws Exception {
    TestCertificate certificate = TestCertificate.make(folder);
    SSLContext tls =
        ((JdkSslContext)
                SslContextBuilder.forServer(
                        certificate.certificate().toFile(), certificate.key().toFile())
                    .sslProvider(SslProvider.JDK)
                    .build())
            .context();
    start(Optional.of(() -> tls));
    MqttSettings encrypted =
        MqttSettings.of(URI.create("ssl://127.0.0.1:" + broker().port()), "probe-7")
            .withUser("probe-h1", "one");
    try (MqttLink serve = listener(broker().own("opercle-serve"), "#");
        MqttLink probe = MqttLink.open(encrypted.withCaCertificates(certificate.certificate()));
        MqttLink plain = MqttLink.open(front("probe-8").withUser("probe-h1", "one"))) {
      connected(serve);
      publish(probe, "tanks/h1/oxygen");
      await().atMost(PATIENCE).until(() -> heard.contains("tanks/h1/oxygen"));
      assertThat(trouble(plain)).isNotEmpty();
    }
  }

  private Socket rawProbe() throws IOException {
    ByteArrayOutputStream connect = new ByteArrayOutputStream();
    text(connect, "MQTT");
    connect.write(4); // MQTT 3.1.1
    connect.write(0b1100_0010); // name, password, clean session
    connect.write(0);
    connect.write(60);
    text(connect, "raw");
    text(connect, "probe-h1");
    text(connect, "one");
    Socket socket = new Socket(InetAddress.getLoopbackAddress(), broker().port());
    socket.getOutputStream().write(packet(0x10, connect.toByteArray()));
    assertThat(socket.getInputStream().readNBytes(4)).containsExactly(0x20, 2, 0, 0);
    return socket;
  }

  private static void assertEnds(Socket socket) throws IOException {
    socket.setSoTimeout((int) PATIENCE.toMillis());
    InputStream in = socket.getInputStream();
    try {
      while (in.read() >= 0) {
        // What it says first is of no matter.
      }
    } catch (SocketException e) {
      assertThat(e).hasMessageContaining("reset");
    }
  }

  private static void text(ByteArrayOutputStream into, String text) {
    byte[] bytes = text.getBytes(UTF_8);
    into.write(bytes.length >> 8);
    into.write(bytes.length & 0xff);
    into.writeBytes(bytes);
  }

  private static byte[] packet(int type, byte[] body) {
    ByteArrayOutputStream packet = new ByteArrayOutputStream();
    packet.write(type);
    packet.write(body.length); // below 128
    packet.writeBytes(body);
    return packet.toByteArray();
  }
}
