// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.calling.Call;
import opercle.analysis.calling.Call.Kind;
import opercle.analysis.calling.CallingState;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleKind;
import opercle.dashboard.push.PushNotice;
import org.junit.jupiter.api.Test;

/** What a call about the monitor itself says, by each channel. */
class MonitorMessageTest {

  private static final MonitorTrouble FULL =
      Made.trouble(TroubleKind.DISK_FULL, "The disk is full: about 0 MB are left for /data.");
  private static final MonitorTrouble WAITS =
      Made.trouble(TroubleKind.STORE_UNWRITABLE, "Readings wait at the broker: disk full.");
  private static final MonitorTrouble CERTIFICATE =
      Made.trouble(TroubleKind.CERTIFICATE_ENDS, "The certificate of the broker ends in 9 days.");

  private final Words words = new Words(Made.farm());

  private Message message(Kind kind, Optional<String> by, MonitorTrouble... troubles) {
    return words.message(Made.monitorCall(kind, by, troubles), Optional.empty());
  }

  @Test
  void call_saysWhatIsWrong_whatComesOfIt_andOneThingToDo() {
    Message message = message(Kind.MONITOR, Optional.empty(), FULL, WAITS);

    assertThat(message.subject()).isEqualTo("Monitor: the disk is full");
    assertThat(message.body())
        .isEqualTo(
            "The disk is full. When nothing can be written, no reading is taken, and no tank is"
                + " watched. Make room on the disk now: the watch stops when it is full."
                + "\n\nFound: The disk is full: about 0 MB are left for /data."
                + " Readings wait at the broker: disk full.");
    assertThat(message.spoken()).isEqualTo("Monitor: the disk is full.");
  }

  @Test
  void overAndTaken_sayWhatItWas() {
    assertThat(message(Kind.ENDED, Optional.empty(), FULL).subject())
        .isEqualTo("Monitor: over. It was: the disk is full");
    assertThat(message(Kind.ENDED, Optional.empty(), FULL).body())
        .startsWith("It is over. It was: the disk is full.");
    Message taken = message(Kind.TAKEN, Optional.of("Tomas"), FULL);
    assertThat(taken.subject()).isEqualTo("Monitor: Tomas has it");
    assertThat(taken.body()).startsWith("Tomas has it. You need not go");
  }

  @Test
  void morning_tellsTanksFirst_thenTheMonitor() {
    assertThat(message(Kind.MORNING, Optional.empty(), CERTIFICATE, FULL).subject())
        .isEqualTo("Monitor: a certificate ends, and 1 more");
    Call mixed =
        new Call(
            "key",
            "Maren",
            "mail",
            Kind.MORNING,
            Made.NIGHT,
            false,
            1,
            List.of(Made.alarm()),
            List.of(CERTIFICATE),
            "",
            Optional.empty(),
            Set.of());
    Message message = words.message(mixed, Optional.empty());
    assertThat(message.subject())
        .isEqualTo("From the night: Holding 2: gas has stopped, and 1 more");
    assertThat(message.body()).contains("blower").contains("Renew the certificate.");
  }

  @Test
  void morning_doesNotTellWhatHasPassed_asIfItStood() throws IOException {
    Call call =
        new Call(
            "key",
            "Maren",
            "mail",
            Kind.MORNING,
            Made.NIGHT,
            false,
            1,
            List.of(Made.alarm()),
            List.of(CERTIFICATE, FULL),
            "",
            Optional.empty(),
            Set.of(FULL.key().id(), CallingState.Occurrence.key(Made.alarm())));

    Message message = words.message(call, Optional.empty());

    assertThat(message.subject())
        .isEqualTo("From the night, over by now: Holding 2: gas has stopped, and 2 more");
    assertThat(message.body())
        .startsWith("Over by now; it was so:\nHolding 2: no gas flow")
        .contains("A certificate ends.", "Renew the certificate.")
        .contains("Over by now: the disk is full. It was: The disk is full: about 0 MB")
        .doesNotContain("Make room on the disk now");
    assertThat(message.spoken()).contains("From the night, over by now");
    assertThat(CapXml.of(message)).contains("<urgency>Past</urgency>").contains("AllClear");
    JsonNode json = new ObjectMapper().readTree(CallJson.of(message));
    assertThat(json.path("event").asText()).isEqualTo("cleared");
    assertThat(json.path("others").findValuesAsText("event")).containsExactly("raised", "cleared");
  }

  @Test
  void driver_isTold_toStopForWhatIsUrgentAlone() {
    for (Kind kind : Kind.values()) {
      Call call = Made.monitorCall(kind, Optional.of("Tomas"), FULL);
      Call atTheWheel =
          new Call(
              call.key(),
              call.person(),
              call.channel(),
              kind,
              call.made(),
              true,
              1,
              call.about(),
              call.troubles(),
              call.occurrence(),
              call.by(),
              Set.of());
      boolean stops =
          words.message(atTheWheel, Optional.empty()).spoken().contains("Stop when it is safe");
      assertThat(stops)
          .as(kind.name())
          .isEqualTo(Set.of(Kind.ALARM, Kind.MONITOR, Kind.MORE).contains(kind));
    }
  }

  @Test
  void webhook_hasAnObjectOfItsOwnType_notAnAlarm() throws IOException {
    JsonNode json =
        new ObjectMapper()
            .readTree(CallJson.of(message(Kind.MONITOR, Optional.empty(), FULL, WAITS)));

    assertThat(json.path("type").asText()).isEqualTo("monitor");
    assertThat(json.path("trouble").asText()).isEqualTo("disk-full");
    assertThat(json.path("event").asText()).isEqualTo("raised");
    assertThat(json.path("priority").asText()).isEqualTo("high");
    assertThat(json.path("farm").asText()).isEqualTo("Sallowmere");
    assertThat(json.path("test").asBoolean()).isFalse();
    assertThat(json.path("call").path("kind").asText()).isEqualTo("monitor");
    assertThat(json.path("others").findValuesAsText("trouble")).containsExactly("store-unwritable");
    assertThat(json.has("tank")).isFalse();
    JsonNode over =
        new ObjectMapper().readTree(CallJson.of(message(Kind.ENDED, Optional.empty(), FULL)));
    assertThat(over.path("event").asText()).isEqualTo("cleared");
  }

  @Test
  void capAlert_holdsOneIncidentFromCallToEnd() {
    String call = CapXml.of(message(Kind.MONITOR, Optional.empty(), FULL));
    String over = CapXml.of(message(Kind.ENDED, Optional.empty(), FULL));

    String incident = "<incidents>the-monitor-disk-full-1773454267000</incidents>";
    assertThat(call)
        .contains(incident, "<event>The disk is full</event>", "<severity>Severe</severity>")
        .contains("<status>Actual</status>");
    assertThat(over).contains(incident, "<responseType>AllClear</responseType>");
  }

  @Test
  void notice_opensThePageOfTheMonitor_andIsReplacedByItsEnd() {
    PushNotice call = PushChannel.notice(message(Kind.MONITOR, Optional.empty(), FULL));
    PushNotice over = PushChannel.notice(message(Kind.ENDED, Optional.empty(), FULL));

    assertThat(call.path()).isEqualTo("/monitor");
    assertThat(call.high()).isTrue();
    assertThat(over.occurrence()).isEqualTo(call.occurrence());
    assertThat(over.calls()).isFalse();
  }
}
