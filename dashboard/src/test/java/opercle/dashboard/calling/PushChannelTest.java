// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.URI;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.calling.Call;
import opercle.analysis.calling.Delivery;
import opercle.dashboard.push.PushNotice;
import opercle.dashboard.push.PushOutcome;
import opercle.dashboard.push.PushTestDesk;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class PushChannelTest {

  private static final Instant NOW = Instant.parse("2026-03-14T02:11:07Z");
  private static final AlarmEvent GAS_STOPPED =
      new AlarmEvent(
          NOW,
          "h2",
          AlarmCause.GAS_LINE_STOPPED,
          AlarmEvent.Kind.RAISED,
          Priority.HIGH,
          AlarmState.UNACKNOWLEDGED,
          OptionalDouble.of(31.5),
          OptionalDouble.of(8.6),
          "Holding 2: no gas flow for 8 s.");

  @Test
  void alarm_reachesThePersonsDevice_encrypted(@TempDir Path folder)
      throws IOException, GeneralSecurityException {
    try (var push = new PushTestDesk(folder);
        var channel = new PushChannel(push.desk())) {
      push.subscribe("Maren");

      Delivery delivery = channel.deliver(message(Call.Kind.ALARM, false));

      assertThat(delivery).isEqualTo(new Delivery.Accepted("1 of 1 devices"));
      assertThat(push.lastRead()).contains("Holding 2: gas has stopped").contains("/tank/h2");
    }
  }

  @Test
  void alarmThatSomebodyMustHave_opensWhereTheySaySo() {
    Message m = message(Call.Kind.ALARM, false);
    Message linked =
        new Message(
            m.farm(),
            m.call(),
            m.subject(),
            m.body(),
            m.spoken(),
            Optional.of(URI.create("https://fish.example.org/have/a.b")));

    assertThat(PushChannel.notice(linked).path()).isEqualTo("/have/a.b");
    assertThat(PushChannel.notice(m).path()).isEqualTo("/tank/h2");
  }

  @Test
  void personWithoutADevice_isRefused_soThatAnotherWayIsTried(@TempDir Path folder)
      throws IOException {
    try (var push = new PushTestDesk(folder);
        var channel = new PushChannel(push.desk())) {
      push.subscribe("Joss");

      assertThat(channel.deliver(message(Call.Kind.ALARM, false)))
          .isEqualTo(Delivery.refused("no device of Maren has asked for notices"));
      assertThat(push.arrived()).isZero();
    }
  }

  @Test
  void newsOfOneAlarm_replacesItsNotice_andDoesNotRingAgain() {
    PushNotice alarm = PushChannel.notice(message(Call.Kind.ALARM, false));
    PushNotice taken = PushChannel.notice(message(Call.Kind.TAKEN, false));

    assertThat(taken.occurrence()).isEqualTo(alarm.occurrence());
    assertThat(alarm.high()).isTrue();
    assertThat(alarm.calls()).isTrue();
    assertThat(taken.high()).isFalse();
    assertThat(taken.calls()).isFalse();
  }

  @Test
  void driver_getsTheSpokenSentence() {
    assertThat(PushChannel.notice(message(Call.Kind.ALARM, true)).body())
        .isEqualTo("Holding 2, gas lost, about 31 minutes.");
  }

  @Test
  void oneDeviceIsEnough_andElseTheReasonsAreSaid() {
    var gone = new PushOutcome.Gone();
    var later = new PushOutcome.Later(Duration.ofSeconds(30));
    var sooner = new PushOutcome.Later(Duration.ofSeconds(10));

    assertThat(PushChannel.delivery(List.of(gone, new PushOutcome.Taken())))
        .isEqualTo(new Delivery.Accepted("1 of 2 devices"));
    assertThat(PushChannel.delivery(List.of(gone)))
        .isEqualTo(Delivery.refused("the device takes no notices any longer"));
    assertThat(PushChannel.delivery(List.of(later, sooner)))
        .isInstanceOfSatisfying(
            Delivery.Failed.class,
            failed -> {
              assertThat(failed.again()).isTrue();
              assertThat(failed.after()).contains(Duration.ofSeconds(10));
            });
  }

  private static Message message(Call.Kind kind, boolean driving) {
    return new Message(
        "Sallowmere",
        new Call(
            "k",
            "Maren",
            "push",
            kind,
            NOW,
            driving,
            1,
            List.of(GAS_STOPPED),
            List.of(),
            "",
            Optional.empty(),
            Set.of()),
        "Holding 2: gas has stopped, about 31 min",
        "About 31 min in hand. Check blower.",
        "Holding 2, gas lost, about 31 minutes.",
        Optional.empty());
  }
}
