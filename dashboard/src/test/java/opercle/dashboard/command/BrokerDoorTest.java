// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import opercle.dashboard.command.Configuration.Mqtt;
import opercle.ingest.TestCertificate;
import opercle.ingest.mqtt.BrokerClient;
import opercle.ingest.mqtt.EmbeddedBroker;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.settings.UnusableInputException;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The embedded broker for other machines: its settings, and the way of a password. */
class BrokerDoorTest {

  @TempDir Path folder;

  @BeforeEach
  void farm() throws IOException {
    Files.writeString(
        folder.resolve("farm.yaml"),
        """
        farm: Sallowmere
        tanks:
          - { id: h1, kind: holding, waterLitres: 1500, supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 } }
        """);
  }

  private BrokerDoor door(String mqtt) throws IOException {
    Path file = Files.writeString(folder.resolve("opercle.yaml"), "farm: farm.yaml\n" + mqtt);
    return ((Mqtt.Embedded) ConfigurationReader.read(file).mqtt()).door();
  }

  /** What the command prints for the password. */
  private static String hashed(String name, String password) {
    StringWriter out = new StringWriter();
    InputStream terminal = System.in;
    System.setIn(new ByteArrayInputStream((password + "\n").getBytes(UTF_8)));
    try {
      String[] args = {"mqtt-password", name, "--password-stdin"};
      assertThat(OpercleCommand.run(args, new PrintWriter(out), new PrintWriter(out)))
          .as(out.toString())
          .isZero();
    } finally {
      System.setIn(terminal);
    }
    return out.toString().strip();
  }

  @Test
  void clients_areReadWholeAndTheirPasswordsWork() throws Exception {
    TestCertificate certificate = TestCertificate.make(folder);
    BrokerDoor door =
        door(
            """
            mqtt:
              host: 0.0.0.0
              port: 0
              tls: { certificateFile: certificate.pem, keyFile: key.pem }
              clients:
                - name: probe-h1
                  %s
                  sends: tanks/h1/#, sensors/gate/oxygen
                - { name: display, reads: "opercle/#", %s }
            """
                .formatted(
                    hashed("probe-h1", "four quiet words here"),
                    hashed("display", "other words that stay")));

    assertThat(door.clients().stream().map(BrokerClient::toString))
        .containsExactly(
            "probe-h1, sends [tanks/h1/#, sensors/gate/oxygen], reads []",
            "display, sends [], reads [opercle/#]");
    try (EmbeddedBroker broker = EmbeddedBroker.start(door.settings(folder.resolve("broker")));
        MqttLink probe =
            MqttLink.open(
                MqttSettings.of(URI.create("ssl://127.0.0.1:" + broker.port()), "probe")
                    .withUser("probe-h1", "four quiet words here")
                    .withCaCertificates(certificate.certificate()))) {
      probe.publish("tanks/h1/oxygen", "8.1".getBytes(UTF_8), 1, false).get(30, TimeUnit.SECONDS);
    }
  }

  @Test
  void wideHostWithoutClients_isRefused() {
    assertThatThrownBy(() -> door("mqtt: { host: 0.0.0.0 }\n"))
        .isInstanceOf(UnusableInputException.class)
        .hasMessageContaining(
            "mqtt.host: \"0.0.0.0\" can be reached from other machines, and nobody is named");
  }

  @Test
  void allFaults_areToldAtOnce() {
    assertThatThrownBy(
            () ->
                door(
                    """
                    mqtt:
                      host: 0.0.0.0
                      tls: { certificateFile: none.pem, keyFile: none.pem }
                      clients:
                        - { name: "a b", passwordHash: "$argon2id$v=19$m=19456,t=2,p=1$aaaaaaaaaaaaaaaaaaaaaa$aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa", sends: "tanks/h1/#" }
                        - { name: b, passwordHash: "four quiet words", sends: "tanks/h1/#" }
                        - { name: c, passwordHash: "$argon2id$v=19$m=19456,t=2,p=1$aaaaaaaaaaaaaaaaaaaaaa$aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa" }
                        - { name: d, passwordHash: "$argon2id$v=19$m=19456,t=2,p=1$aaaaaaaaaaaaaaaaaaaaaa$aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa", sends: "#" }
                        - { name: d, passwordHash: "$argon2id$v=19$m=19456,t=2,p=1$aaaaaaaaaaaaaaaaaaaaaa$aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa", reads: "opercle/#/x" }
                        - { name: opercle, sends: "tanks/h1/#", topics: "x" }
                    """))
        .isInstanceOf(UnusableInputException.class)
        .satisfies(
            e ->
                assertThat(List.of(String.valueOf(e.getMessage()).split("\n")))
                    .anySatisfy(l -> assertThat(l).contains("mqtt.tls.certificateFile"))
                    .anySatisfy(l -> assertThat(l).contains("clients[0].name: \"a b\" must be"))
                    .anySatisfy(l -> assertThat(l).contains("clients[1].passwordHash: is not"))
                    .anySatisfy(l -> assertThat(l).contains("clients[2].sends: is missing"))
                    .anySatisfy(l -> assertThat(l).contains("clients[3].sends: \"#\" reaches"))
                    .anySatisfy(
                        l -> assertThat(l).contains("clients[4].name: \"d\" is named twice"))
                    .anySatisfy(l -> assertThat(l).contains("clients[4].reads: \"opercle/#/x\""))
                    .anySatisfy(l -> assertThat(l).contains("clients[5].passwordHash: is missing"))
                    .anySatisfy(l -> assertThat(l).contains("clients[5].topics: unknown key")))
        .hasMessageNotContaining("four quiet words");
  }

  @Test
  void keysOfTheEmbeddedBroker_doNotGoWithAnother() {
    assertThatThrownBy(
            () -> door("mqtt: { broker: 'tcp://a:1883', host: b, clients: [], tls: { x: y } }\n"))
        .hasMessageContaining("mqtt.host: goes with the embedded broker only")
        .hasMessageContaining("mqtt.clients: goes with the embedded broker only")
        .hasMessageContaining("mqtt.tls: goes with the embedded broker only");
  }
}
