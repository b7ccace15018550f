// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.time.Instant;
import opercle.analysis.alarm.AlarmCause;

/** Links as messages have them, for tests of other packages. */
public final class MadeLinks {

  private MadeLinks() {}

  /** The path of a link to the alarm, good for an hour. */
  public static String path(
      HaveLinks links, String person, String tank, AlarmCause cause, Instant since, Instant now) {
    return "/have/"
        + links.token(new HaveLinks.Claim(person, tank, cause, since, now.plusSeconds(3600), "n1"));
  }
}
