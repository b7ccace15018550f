// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.net.URI;
import java.util.Optional;

/**
 * Where calls are posted to.
 *
 * @param url the address; https, or http on this machine
 * @param secret signs what is sent; empty: nothing is signed. Never logged
 * @param format what is sent
 */
public record WebhookSettings(URI url, Optional<String> secret, Format format) {

  /** What is sent. */
  public enum Format {
    /** The alarm event as on MQTT, with what belongs to the call added. */
    JSON,
    /** Common Alerting Protocol 1.2, an OASIS standard. */
    CAP
  }

  @Override
  public String toString() {
    return format + " to " + url.getHost();
  }
}
