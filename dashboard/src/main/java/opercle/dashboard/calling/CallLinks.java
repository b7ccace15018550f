// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.net.URI;
import java.util.Optional;
import opercle.analysis.calling.Call;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** By which link somebody who is called says that they have it. For any thread. */
final class CallLinks {

  private static final Logger log = LoggerFactory.getLogger(CallLinks.class);

  private final Optional<HaveLinks> links;

  /**
   * @param links empty where there is no public address
   */
  CallLinks(Optional<HaveLinks> links) {
    this.links = links;
  }

  /**
   * The link that goes with a call; empty where there is nothing to have, for somebody who drives,
   * and where none can be made.
   */
  Optional<URI> to(Call call) {
    if (call.driving() || !isToHave(call)) {
      return Optional.empty();
    }
    try {
      return links.map(
          l ->
              call.kind() == Call.Kind.MONITOR
                  ? l.monitorLink(call.person(), call.occurrence(), call.sent())
                  : l.link(call.person(), call.about().get(0), call.sent(), call.key()));
    } catch (RuntimeException e) {
      log.error("no link can be made; {} is called without one", call.person(), e);
      return Optional.empty();
    }
  }

  private static boolean isToHave(Call call) {
    return call.isStep() || (call.kind() == Call.Kind.NOTICE && !call.about().isEmpty());
  }
}
