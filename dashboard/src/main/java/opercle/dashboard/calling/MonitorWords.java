// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import opercle.analysis.calling.Call;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleGuide;

/** The monitor's own troubles in words; what they say stands in {@link TroubleGuide}. */
final class MonitorWords {

  private MonitorWords() {}

  /** What fits on a lock screen. */
  static String gist(MonitorTrouble trouble) {
    return "Monitor: " + said(trouble);
  }

  /** What is wrong, as part of a sentence. */
  static String said(MonitorTrouble trouble) {
    String title = title(trouble);
    return title.substring(0, 1).toLowerCase(Locale.ROOT) + title.substring(1);
  }

  static String title(MonitorTrouble trouble) {
    return TroubleGuide.of(trouble.key().kind()).title();
  }

  /** What, what comes of it, and the one thing to do. */
  static String message(MonitorTrouble trouble) {
    TroubleGuide guide = TroubleGuide.of(trouble.key().kind());
    return "%s. %s %s".formatted(guide.title(), guide.ifIgnored(), trouble.action());
  }

  /** Each with what was found, for whoever mends it; of what has passed, what it was. */
  static String told(Call call) {
    return call.troubles().stream()
        .map(
            t ->
                call.isOver(t)
                    ? "%s: %s. It was: %s".formatted(Words.OVER, said(t), t.words())
                    : message(t) + "\nFound: " + t.words())
        .collect(Collectors.joining("\n\n"));
  }

  /** One cause: what to do is said once, whatever it shows itself by. */
  static String toldOnce(List<MonitorTrouble> troubles) {
    return message(troubles.get(0))
        + "\n\nFound: "
        + troubles.stream().map(MonitorTrouble::words).collect(Collectors.joining(" "));
  }
}
