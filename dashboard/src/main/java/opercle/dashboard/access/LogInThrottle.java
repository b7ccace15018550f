// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

import java.time.Duration;
import java.time.Instant;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.Map;
import java.util.Set;

/**
 * How quickly passwords may be tried. After some that were wrong each next one has to wait, twice
 * as long every time, up to a minute: for one user from one address, for all users from one
 * address, and for one user from everywhere.
 *
 * <p>Nobody is ever locked out for good. From an address from which a user has logged in before
 * only the first of the three counts, so that strangers who try that user's name cannot keep them
 * away. Pure; not for several threads.
 */
final class LogInThrottle {

  private static final int MOST_KEPT = 10_000;
  private static final Duration FORGOTTEN_AFTER = Duration.ofHours(1);

  private enum Kind {
    PAIR(3, Duration.ofMinutes(1)),
    ADDRESS(10, Duration.ofMinutes(1)),
    USER(20, Duration.ofSeconds(30));

    private final int free;
    private final Duration longest;

    Kind(int free, Duration longest) {
      this.free = free;
      this.longest = longest;
    }

    Duration delay(int failures) {
      if (failures < free) {
        return Duration.ZERO;
      }
      Duration delay = Duration.ofSeconds(1L << Math.min(failures - free, 10));
      return delay.compareTo(longest) < 0 ? delay : longest;
    }
  }

  private record Key(Kind kind, String user, String address) {}

  private record Failures(int count, Instant last) {}

  private final Map<Key, Failures> failures =
      new LinkedHashMap<>(16, 0.75f, true) {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<Key, Failures> eldest) {
          return size() > MOST_KEPT;
        }
      };

  private final Set<Key> known = new LinkedHashSet<>();

  /**
   * Asks for one try. Where there is nothing to wait for it counts as wrong until {@link
   * #succeeded}, so that many at once are not all free.
   *
   * @return how long to wait before asking again; zero: try now
   */
  Duration ask(String user, String address, Instant now) {
    Duration longest = Duration.ZERO;
    for (Kind kind : Kind.values()) {
      Key key = key(kind, user, address);
      if (kind == Kind.PAIR || !known.contains(key(Kind.PAIR, user, address))) {
        Duration wait = wait(key, now);
        longest = wait.compareTo(longest) > 0 ? wait : longest;
      }
    }
    if (longest.isZero()) {
      for (Kind kind : Kind.values()) {
        Key key = key(kind, user, address);
        failures.put(key, new Failures(count(key, now) + 1, now));
      }
    }
    return longest;
  }

  /** The try that was asked for was right. */
  void succeeded(String user, String address) {
    Key pair = key(Kind.PAIR, user, address);
    failures.remove(pair);
    for (Kind kind : new Kind[] {Kind.ADDRESS, Kind.USER}) {
      failures.computeIfPresent(
          key(kind, user, address), (key, f) -> new Failures(Math.max(0, f.count - 1), f.last));
    }
    known.remove(pair);
    known.add(pair);
    if (known.size() > MOST_KEPT) {
      known.remove(known.iterator().next());
    }
  }

  private Duration wait(Key key, Instant now) {
    Failures before = failures.get(key);
    if (before == null) {
      return Duration.ZERO;
    }
    if (now.isBefore(before.last)) {
      return Duration.ZERO; // the clock was put back, which must not keep anybody out
    }
    Duration left = Duration.between(now, before.last.plus(key.kind.delay(count(key, now))));
    return left.isNegative() ? Duration.ZERO : left;
  }

  private int count(Key key, Instant now) {
    Failures before = failures.get(key);
    return before == null || now.isAfter(before.last.plus(FORGOTTEN_AFTER)) ? 0 : before.count;
  }

  private static Key key(Kind kind, String user, String address) {
    return new Key(kind, kind == Kind.ADDRESS ? "" : user, kind == Kind.USER ? "" : address);
  }
}
