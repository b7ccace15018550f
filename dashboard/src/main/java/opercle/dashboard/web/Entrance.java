// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.util.Optional;
import opercle.dashboard.access.AccessDesk;

/**
 * Who gets in, and how.
 *
 * @param access users, sessions and tokens; log-in is asked for from the first user on
 * @param proxies what stands between us and the browsers
 * @param tls the certificate; without one the way is plain, or a proxy's matter
 */
public record Entrance(AccessDesk access, TrustedProxies proxies, Optional<TlsFiles> tls) {

  /** Without users, for pages that only this machine reaches. */
  public static Entrance withoutLogIn() {
    return new Entrance(AccessDesk.open(), TrustedProxies.NONE, Optional.empty());
  }
}
