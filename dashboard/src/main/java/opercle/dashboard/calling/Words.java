// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.net.URI;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmGuide;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.calling.Call;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;

/** Calls in words, for somebody woken at three in the morning. Immutable; for any thread. */
final class Words {

  /** Before what had passed when it was told. */
  static final String OVER = "Over by now";

  private static final String IT_WAS = OVER + "; it was so:\n";

  private final Farm farm;

  Words(Farm farm) {
    this.farm = farm;
  }

  /** The word for a kind of call in the book, in webhooks and in the API. */
  static String kind(Call.Kind kind) {
    return kind.name().toLowerCase(Locale.ROOT);
  }

  Message message(Call call, Optional<URI> link) {
    return new Message(farm.name(), call, subject(call), body(call), spoken(call), link);
  }

  /** Tank, what, minutes: what fits on a lock screen. */
  String subject(Call call) {
    if (call.kind() == Call.Kind.TEST) {
      return "TEST: " + farm.name() + " can reach you by " + ChannelWords.of(call.channel());
    }
    if (call.about().isEmpty()) {
      return ofMonitor(call);
    }
    AlarmEvent worst = call.about().get(0);
    int more = call.about().size() + call.troubles().size() - 1;
    return switch (call.kind()) {
      case ALARM, NOTICE, MONITOR -> gist(worst) + minutes(worst, ", %d min");
      case MORE ->
          gist(worst)
              + minutes(worst, ", %d min")
              + (more > 0 ? ", and " + more + (more > 1 ? " more alarms" : " more alarm") : "");
      case TAKEN -> tank(worst) + ": " + taken(call);
      case ENDED -> tank(worst) + ": over by itself. " + title(worst);
      case MORNING ->
          (call.isOver(worst) ? "From the night, over by now: " : "From the night: ")
              + gist(worst)
              + (more > 0 ? ", and " + more + " more" : "");
      case TEST -> throw new IllegalStateException("told above");
    };
  }

  private static String ofMonitor(Call call) {
    String gist = MonitorWords.gist(call.troubles().get(0));
    int more = call.troubles().size() - 1;
    String counted = gist + (more > 0 ? ", and " + more + " more" : "");
    return switch (call.kind()) {
      case TAKEN -> "Monitor: " + taken(call);
      case ENDED -> "Monitor: over. It was: " + MonitorWords.said(call.troubles().get(0));
      case MONITOR -> gist; // others are signs of the same
      case MORNING -> (call.isOver(call.troubles().get(0)) ? OVER + ". " : "") + counted;
      default -> counted;
    };
  }

  private String body(Call call) {
    if (call.about().isEmpty() && !call.troubles().isEmpty()) {
      return bodyOfMonitor(call);
    }
    return switch (call.kind()) {
      case TEST ->
          "This is a TEST. Nothing is wrong and there is nothing to do. It came by "
              + call.channel()
              + call.by().map(by -> ", asked for by " + by).orElse("")
              + ". An alarm would come the same way.";
      case ALARM, NOTICE, MONITOR -> told(call.about().get(0)) + caution(call.about().get(0));
      case MORE, MORNING ->
          call.about().stream()
                  .map(event -> (call.isOver(event) ? IT_WAS : "") + told(event))
                  .collect(Collectors.joining("\n\n"))
              + (call.troubles().isEmpty() ? "" : "\n\n" + MonitorWords.told(call));
      case TAKEN ->
          "%s. %s\n\n%s"
              .formatted(
                  capital(taken(call)),
                  isHad(call)
                      ? "You need not go, unless they ask you to."
                      : "Nobody is called for it while that lasts.",
                  call.about().get(0).message());
      case ENDED ->
          "It has ended, and nobody said that they had it. Look at the tank in the morning.\n\n"
              + call.about().get(0).message();
    };
  }

  private static String bodyOfMonitor(Call call) {
    return switch (call.kind()) {
      case TAKEN ->
          "%s. You need not go, unless they ask you to.\n\n%s"
              .formatted(capital(taken(call)), MonitorWords.toldOnce(call.troubles()));
      case ENDED ->
          "It is over. It was: %s. Look at the pages for what came meanwhile."
              .formatted(MonitorWords.said(call.troubles().get(0)));
      case MONITOR -> MonitorWords.toldOnce(call.troubles());
      default -> MonitorWords.told(call);
    };
  }

  private String told(AlarmEvent event) {
    String others =
        event.tanks().size() < 2
            ? ""
            : "\nTanks: "
                + event.tanks().stream().map(this::tankName).collect(Collectors.joining(", "))
                + ".";
    return event.message() + others;
  }

  /** Beside work on gas, the usual caution in short. */
  private String caution(AlarmEvent event) {
    if (!AlarmGuide.of(event.cause()).gasWork()) {
      return "";
    }
    boolean blower =
        farm.tank(event.tank()).map(t -> t.supply().source() == Tank.Source.BLOWER).orElse(false);
    return "\n\n" + (blower ? AlarmGuide.BLOWER_CAUTION : AlarmGuide.OXYGEN_CAUTION);
  }

  private String spoken(Call call) {
    if (call.kind() == Call.Kind.TEST) {
      return "This is a test. Nothing is wrong.";
    }
    if (call.about().isEmpty()) {
      return ofMonitor(call) + "." + stop(call);
    }
    AlarmEvent worst = call.about().get(0);
    String what = title(worst).toLowerCase(Locale.ROOT);
    return switch (call.kind()) {
      case TAKEN -> "%s: %s.".formatted(tank(worst), taken(call));
      case ENDED -> "%s: it has ended by itself.".formatted(tank(worst));
      case MORNING -> subject(call) + ".";
      default ->
          "%s: %s%s.%s"
              .formatted(tank(worst), what, minutes(worst, ", about %d minutes"), stop(call));
    };
  }

  /** Nobody stops for good news, nor for what can wait. */
  private static String stop(Call call) {
    return call.driving() && call.isUrgent() ? " Stop when it is safe." : "";
  }

  /** Who did what: put aside is not the same as had, and nobody is on the way. */
  private static String taken(Call call) {
    String who = call.by().orElse("somebody");
    if (call.about().isEmpty()) {
      return who + " has it";
    }
    return switch (call.about().get(0).state()) {
      case SHELVED -> who + " has put it aside for a while";
      case OUT_OF_SERVICE -> who + " has taken it out of service";
      default -> who + " has it";
    };
  }

  private static boolean isHad(Call call) {
    AlarmState state = call.about().get(0).state();
    return state != AlarmState.SHELVED && state != AlarmState.OUT_OF_SERVICE;
  }

  private static String capital(String words) {
    return words.substring(0, 1).toUpperCase(Locale.ROOT) + words.substring(1);
  }

  private String gist(AlarmEvent event) {
    return tank(event) + ": " + title(event).toLowerCase(Locale.ROOT);
  }

  private static String title(AlarmEvent event) {
    return AlarmGuide.of(event.cause()).title();
  }

  /** Whether the minutes of such an alarm run: those that would run if gas stopped are no news. */
  static boolean tellsMinutes(AlarmCause cause) {
    return cause != AlarmCause.PROBE_SILENT && cause != AlarmCause.LOAD_TOO_HEAVY;
  }

  /** Cut to whole minutes, never rounded up. */
  private static String minutes(AlarmEvent event, String form) {
    OptionalDouble minutes = event.timeInHandMinutes();
    return minutes.isPresent() && tellsMinutes(event.cause())
        ? form.formatted((long) Math.floor(Math.max(0, minutes.getAsDouble())))
        : "";
  }

  private String tank(AlarmEvent event) {
    return tanks(event.tank(), event.tanks());
  }

  /** One that speaks for several names the one whose minutes it tells, which has the least. */
  String tanks(String own, List<String> all) {
    int others = all.size() - 1;
    return others > 0 ? tankName(all.get(0)) + " and " + others + " more" : tankName(own);
  }

  String tankName(String id) {
    return farm.tank(id).map(Tank::name).orElse(id);
  }
}
