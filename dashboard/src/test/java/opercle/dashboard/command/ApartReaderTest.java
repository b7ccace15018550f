// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import opercle.ingest.settings.UnusableInputException;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class ApartReaderTest {

  private static final String BROKER = "mqtt: { broker: \"tcp://broker:1883\", clientId: a }\n";

  @TempDir Path folder;

  @BeforeEach
  void describeTheFarm() throws IOException {
    StringBuilder farm = new StringBuilder("farm: Sallowmere\ntanks:\n");
    for (String tank : new String[] {"h1", "h2", "t1"}) {
      farm.append(
          "  - { id: %s, kind: holding, waterLitres: 1500, supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 } }%n"
              .formatted(tank));
    }
    Files.writeString(folder.resolve("farm.yaml"), farm);
  }

  private Configuration read(String yaml) throws IOException {
    return ConfigurationReader.read(
        Files.writeString(folder.resolve("opercle.yaml"), "farm: farm.yaml\n" + yaml));
  }

  private void assertRefused(String yaml, String... words) {
    assertThatThrownBy(() -> read(yaml))
        .isInstanceOf(UnusableInputException.class)
        .message()
        .contains(words);
  }

  @Test
  void site_hasItsTanksUnderItsName_withAFolderAndSessionsOfItsOwn() throws IOException {
    Configuration all =
        read(
            BROKER
                + """
                mappings: [ { topic: lorry/+/water, tank: "{1}", quantity: oxygen, value: /do } ]
                sites:
                  - { name: Yard, topics: "tanks/h1/#, tanks/h2/#, lorry/h1/#, lorry/h2/#" }
                  - { name: Lorry, topics: "lorry/#  tanks/t1/#", port: 8081 }
                """
                    .replace("lorry/#", "lorry/t1/#"));
    Configuration lorry = all.ofSite("Lorry");

    assertThat(all.farm().tankIds()).hasSize(3);
    assertThat(lorry.farm().name()).isEqualTo("Lorry");
    assertThat(lorry.farm().tankIds()).containsExactly("t1");
    assertThat(lorry.dataFolder()).isEqualTo(all.dataFolder().resolve("Lorry"));
    assertThat(lorry.readingsFolder()).isEqualTo(all.dataFolder());
    assertThat(lorry.existingBroker("analyse").clientId()).isEqualTo("a-Lorry");
    assertThat(lorry.dashboardPort()).isEqualTo(8081);
    assertThat(all.ofSite("Yard").farm().tankIds()).containsExactlyInAnyOrder("h1", "h2");
  }

  @Test
  void sitesWhoseTopicsOverlap_areRefusedNamingTheTank() {
    assertRefused(
        BROKER
            + """
            sites:
              - { name: Yard, topics: "tanks/+/oxygen" }
              - { name: Lorry, topics: "tanks/t1/#" }
            """,
        "tank t1 is in Yard and Lorry",
        "watched twice");
  }

  /** A site listens to its own topics alone; but perhaps no probe speaks on the others. */
  @Test
  void topicThatBringsReadingsAndIsNotAmongItsSites_isNoReasonNotToStart_butTold()
      throws IOException {
    Configuration lorry =
        read(BROKER
                + """
                mappings: [ { topic: lorry/+/water, tank: "{1}", quantity: oxygen, value: /do } ]
                sites:
                  - { name: Yard, topics: "tanks/h1/#, tanks/h2/#, lorry/h1/#, lorry/h2/water" }
                  - { name: Lorry, topics: "tanks/t1/+ lorry/t1/air" }
                """)
            .ofSite("Lorry");

    assertThat(SiteHearing.of(lorry).orElseThrow().leg(lorry::farm).look(0).values())
        .containsExactly(
            "t1 may not be heard: Lorry does not listen to tanks/t1/#, lorry/t1/water.");
  }

  @Test
  void siteHears_whatIsWithinItsTopics_andNoTankOfAnother() throws IOException {
    Configuration c =
        read(
            BROKER
                + """
                sites:
                  - { name: Yard, topics: "tanks/h1/#, tanks/h2/#, tanks/h3/+ tanks/h3/+/+" }
                  - { name: Lorry, topics: "tanks/t1/#, tanks/h4/oxygen, tanks/h5/#" }
                """);
    SiteHearing yard = SiteHearing.of(c.ofSite("Yard")).orElseThrow();
    SiteHearing lorry = SiteHearing.of(c.ofSite("Lorry")).orElseThrow();

    assertThat(SiteHearing.of(c)).isEmpty();
    assertThat(yard.whyNot("h3")).isEmpty();
    assertThat(yard.whyNot("h4").orElseThrow())
        .contains("Nobody would hear tank 'h4'", "Yard does not listen to tanks/h4/#");
    assertThat(lorry.whyNot("h4").orElseThrow()).contains("does not listen to tanks/h4/#");
    assertThat(
            SiteHearing.of(
                    read(BROKER
                            + """
                                sites:
                                  - { name: Yard, topics: "tanks/h1/#, tanks/h2/#, tanks/t2/#" }
                                  - { name: Lorry, topics: "tanks/t1/#, tanks/t2/oxygen" }
                                """)
                        .ofSite("Yard"))
                .orElseThrow()
                .whyNot("t2")
                .orElseThrow())
        .contains("watched twice", "Lorry");
    assertThat(lorry.leg(c::farm).look(0).values())
        .containsExactlyInAnyOrder(
            "h1 may not be heard: Lorry does not listen to tanks/h1/#.",
            "h2 may not be heard: Lorry does not listen to tanks/h2/#.");
    assertThat(lorry.leg(c.ofSite("Lorry")::farm).look(0)).isEmpty();
  }

  @Test
  void serve_isRefusedBesideSitesAndSharing_andIngestWithASite() throws IOException {
    Path file = folder.resolve("opercle.yaml");
    Configuration sites = read(BROKER + "sites: [ { name: Yard, topics: \"tanks/#\" } ]\n");
    assertThatThrownBy(() -> sites.forOneProcess("serve"))
        .hasMessageContaining("sites")
        .hasMessageContaining("watches all tanks in one process");
    assertThat(sites.watched()).extracting(f -> f.name()).containsExactly("Yard");
    assertThat(run("ingest", "--config", file.toString(), "--site", "Yard"))
        .contains("--site", "takes the readings of all sites");
    assertThat(run("serve", "--config", file.toString(), "--site", "Yard"))
        .contains("--site", "watches all tanks in one process");
    var unused =
        read(
            BROKER
                + "ingest: { share: yard }\n"
                + "store: { influxdb: { url: \"http://localhost:8086\", bucket: b } }\n");
    assertThat(run("serve", "--config", file.toString()))
        .contains("ingest.share", "each would count twice");
  }

  private static String run(String... args) {
    StringWriter err = new StringWriter();
    PrintWriter out = new PrintWriter(err, true);
    int code = OpercleCommand.run(args, out, out);
    assertThat(code).isEqualTo(2);
    return err.toString();
  }

  @Test
  void tankInNoSite_isRefused() {
    assertRefused(
        BROKER + "sites: [ { name: Yard, topics: \"tanks/h1/#\" } ]\n",
        "tank h2 is in none of them",
        "tank t1 is in none of them");
  }

  @Test
  void siteWithoutNameOrWithATopicThatIsNone_isRefused() {
    assertRefused(
        BROKER + "sites: [ { name: \"a/b\", topics: \"tanks/h#\" }, { topics: x } ]\n",
        "1 to 40 letters",
        "# the whole last one",
        "name");
  }

  @Test
  void commandForOneWatch_asksWhichSite() throws IOException {
    Configuration all = read(BROKER + "sites: [ { name: Yard, topics: \"tanks/#\" } ]\n");

    assertThatThrownBy(() -> all.forOneWatch("analyse")).hasMessageContaining("--site");
    assertThatThrownBy(() -> all.ofSite("Pond")).hasMessageContaining("there are [Yard]");
    assertThat(all.ofSite("Yard").forOneWatch("analyse").farm().tankIds()).hasSize(3);
  }

  @Test
  void share_needsAnInfluxDbAndAClientIdOfItsOwn() throws IOException {
    assertRefused(
        "ingest: { share: yard }\nmqtt: { broker: \"tcp://broker:1883\" }\n",
        "needs store.influxdb",
        "needs mqtt.clientId");
    Configuration c =
        read(
            BROKER
                + "ingest: { share: yard }\n"
                + "store: { influxdb: { url: \"http://localhost:8086\", bucket: b } }\n");
    assertThat(c.apart().share()).contains("yard");
  }
}
