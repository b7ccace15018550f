// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.concurrent.TimeUnit;

/**
 * How often a client may be wrong from one address: past ten times each further try has to wait a
 * minute from the last wrong one, so that guessing is hopeless and costs the machine nothing. Safe
 * for many threads.
 */
final class WrongPasswords {

  private static final int FREE = 10;
  private static final long WAIT_NANOS = TimeUnit.MINUTES.toNanos(1);
  private static final int MOST_KEPT = 10_000;

  private record Wrong(int count, long lastNanos) {}

  private final Map<String, Wrong> wrong =
      new LinkedHashMap<>(16, 0.75f, true) {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<String, Wrong> eldest) {
          return size() > MOST_KEPT;
        }
      };

  /**
   * @param who the client and its address
   * @param nowNanos as {@link System#nanoTime} gives it
   */
  synchronized boolean mayTry(String who, long nowNanos) {
    Wrong before = wrong.get(who);
    return before == null || before.count < FREE || nowNanos - before.lastNanos > WAIT_NANOS;
  }

  /** Notes a wrong password. */
  synchronized void note(String who, long nowNanos) {
    Wrong before = wrong.get(who);
    wrong.put(who, new Wrong(before == null ? 1 : Math.min(before.count + 1, FREE), nowNanos));
  }
}
