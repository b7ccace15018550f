// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.net.URI;
import java.util.Optional;
import opercle.dashboard.calling.CallingSettings.Way;
import opercle.ingest.settings.Section;

/** How whoever describes people says what signs a webhook's messages. */
interface WebhookKeys {

  /**
   * What signs messages.
   *
   * @param secret itself; empty: nothing is signed
   * @param secretFile where it is kept; empty where it is not kept yet
   * @param broken why it cannot be had, in words; empty: it can
   */
  record Key(Optional<String> secret, Optional<String> secretFile, Optional<String> broken) {

    Key(Optional<String> secret, Optional<String> secretFile) {
      this(secret, secretFile, Optional.empty());
    }
  }

  /** The key of a webhook; what is wrong is noted in the section. */
  Key key(Section webhook);

  /** Why an address must not be posted to; empty if it may be. */
  Optional<String> objection(URI url);

  /** A way that is to stay as it is, where that can be said here. */
  Optional<Way> kept(Section channel);
}
