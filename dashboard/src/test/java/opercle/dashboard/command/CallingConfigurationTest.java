// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.DayOfWeek;
import java.time.LocalTime;
import opercle.analysis.calling.CallingPlan;
import opercle.analysis.calling.Target;
import opercle.dashboard.calling.CallingSettings;
import opercle.dashboard.calling.CallingSettings.Way;
import opercle.ingest.settings.UnusableInputException;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The parts of opercle.yaml that say who is called. */
class CallingConfigurationTest {

  @TempDir Path folder;

  @BeforeEach
  void describeTheFarm() throws IOException {
    Files.writeString(
        folder.resolve("farm.yaml"),
        """
        farm: Sallowmere
        tanks:
          - id: h1
            kind: holding
            waterLitres: 1500
            supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
        """);
    Files.writeString(folder.resolve("secret.txt"), "tench\n");
  }

  private Configuration read(String yaml) throws IOException {
    return ConfigurationReader.read(
        Files.writeString(folder.resolve("opercle.yaml"), "farm: farm.yaml\n" + yaml));
  }

  @Test
  void nothingSaid_callsNobody() throws IOException {
    CallingSettings calling = read("").calling();

    assertThat(calling.hasPeople()).isFalse();
    assertThat(calling.publicUrl()).isEmpty();
  }

  @Test
  void everything_isRead() throws IOException {
    Configuration c =
        read(
            """
            timeZone: Europe/London
            dashboard: { publicUrl: "https://fish.example.org" }
            mail: { host: smtp.example.org, user: opercle, passwordFile: secret.txt, from: "opercle@example.org" }
            people:
              - name: Maren
                channels:
                  - push
                  - mail: "maren@example.org, home@example.org"
                  - webhook: { url: "https://calls.example.org/in", secretFile: secret.txt, format: cap }
                  - mail: second@example.org
              - name: Tomas
                channels: [ push ]
                hours: { from: "18:00", to: "06:00" }
            calling:
              night: { from: "21:30", to: "06:00" }
              summaryAt: "06:45"
              patienceSeconds: 20
              test: { at: "11:00", every: week }
            """);

    CallingPlan plan = c.calling().plan();
    assertThat(plan.zone().getId()).isEqualTo("Europe/London");
    assertThat(plan.people().get(0).channels())
        .containsExactly("push", "mail", "webhook", "mail-2");
    assertThat(plan.people().get(1).onCall().orElseThrow().from()).isEqualTo(LocalTime.of(18, 0));
    assertThat(plan.morning()).isEqualTo(LocalTime.of(6, 45));
    assertThat(plan.patience()).hasSeconds(20);
    assertThat(plan.tests().orElseThrow().weekly()).contains(DayOfWeek.MONDAY);
    assertThat(c.calling().ways().get(new Target("Maren", "webhook")))
        .isInstanceOf(Way.Webhook.class);
    assertThat(c.calling().targets()).hasSize(5);
    assertThat(c.names()).containsExactly("fish.example.org");
    assertThat(c.toString()).doesNotContain("tench");
  }

  @Test
  void allThatIsWrong_isToldAtOnce() {
    assertThatThrownBy(
            () ->
                read(
                    """
                    timeZone: Europe/Londn
                    dashboard: { publicUrl: "http://fish.example.org" }
                    mail: { host: smtp.example.org, security: none, user: opercle, from: nobody }
                    people:
                      - name: Maren
                        channels: [ { mail: "maren at home" }, { pigeon: grey } ]
                        hours: { from: "25:00" }
                      - name: maren
                        channels: [ { webhook: { url: "ftp://x", secretFile: none.txt } } ]
                      - name: Ines
                    calling:
                      test: { at: "03:00" }
                      summaryAt: dawn
                    """))
        .isInstanceOfSatisfying(
            UnusableInputException.class,
            e ->
                assertThat(e.problems())
                    .extracting(p -> p.key())
                    .contains(
                        "timeZone",
                        "dashboard.publicUrl",
                        "mail.security",
                        "mail.user",
                        "mail.from",
                        "people[0].channels[0].mail",
                        "people[0].channels[1].pigeon",
                        "people[0].hours.from",
                        "people[1].channels[0].webhook.url",
                        "people[1].channels[0].webhook.secretFile",
                        "people[2].channels",
                        "calling.test.at",
                        "calling.summaryAt"));
  }

  @Test
  void mailWithoutAServer_isAProblem() {
    assertThatThrownBy(
            () -> read("people: [ { name: Maren, channels: [ { mail: \"m@example.org\" } ] } ]"))
        .hasMessageContaining("people[0].channels[0].mail")
        .hasMessageContaining("mail server");
  }

  /** A keeper who works late sleeps on when others are up. */
  @ParameterizedTest
  @CsvSource({
    "01:00, 11:30, 11:30, 11:30",
    "22:00, 07:30, 07:30, 10:00",
    "22:00, 06:30, 07:00, 10:00",
    "08:00, 15:00, 07:00, 15:00"
  })
  void usualTimesOfSummaryAndTest_moveToTheEndOfTheNight(
      String from, String to, LocalTime summary, LocalTime test) throws Exception {
    CallingPlan plan =
        read("calling: { night: { from: \"%s\", to: \"%s\" } }".formatted(from, to))
            .calling()
            .plan();

    assertThat(plan.morning()).isEqualTo(summary);
    assertThat(plan.tests().orElseThrow().at()).isEqualTo(test);
  }

  @Test
  void testWithoutATime_isNotAtNightEither() throws Exception {
    CallingPlan plan =
        read("calling: { night: { from: \"01:00\", to: \"11:30\" }, test: { every: week } }")
            .calling()
            .plan();

    assertThat(plan.tests().orElseThrow().at()).isEqualTo(LocalTime.of(11, 30));
  }

  @Test
  void summaryInTheNight_isAProblem() {
    assertThatThrownBy(
            () ->
                read(
                    "calling: { night: { from: \"01:00\", to: \"11:30\" },"
                        + " summaryAt: \"07:00\", test: { every: never } }"))
        .hasMessageContaining("calling.summaryAt")
        .hasMessageContaining("07:00 is in the night (01:00 to 11:30)");
  }
}
