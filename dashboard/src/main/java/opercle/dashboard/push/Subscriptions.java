// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import java.net.URI;
import java.util.List;

/** Where subscriptions are kept. For any thread; methods may wait for the disk. */
public interface Subscriptions {

  /** Keeps one; replaces what there was of the same endpoint. */
  void keep(PushSubscription subscription);

  /**
   * Forgets one.
   *
   * @return whether there was one
   */
  boolean forget(URI endpoint);

  /** All, the oldest first. */
  List<PushSubscription> all();
}
