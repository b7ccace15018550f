// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

import com.password4j.Argon2Function;
import com.password4j.Password;
import com.password4j.types.Argon2;
import java.time.Duration;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;

/**
 * Passwords as hashes: Argon2id (RFC 9106) with the second set of parameters of OWASP's Password
 * Storage Cheat Sheet: 19 MiB, 2 passes, 1 lane; a salt of 16 bytes and a hash of 32 (RFC 9106
 * section 3.1). A hash carries its parameters, so that these can be raised later. For any thread;
 * at most two are worked out at a time, so that a flood of log-ins cannot eat the watch's memory.
 */
final class Passwords {

  private static final int MEMORY_KIB = 19 * 1024;
  private static final int PASSES = 2;
  private static final int LANES = 1;
  private static final int HASH_BYTES = 32;
  private static final int SALT_BYTES = 16;
  private static final Duration PATIENCE = Duration.ofSeconds(5);

  /**
   * OWASP's ASVS 5.0 (6.2.1) wants 8 or more and recommends 15; 12 is between the two, and what can
   * still be typed on a phone in the night.
   */
  static final int SHORTEST = 12;

  private static final int LONGEST = 256;
  private static final int FEWEST_DIFFERENT = 5;

  private final Semaphore atOnce = new Semaphore(2, true);

  /**
   * Of nobody's password, 256 random bits that were kept nowhere: what is compared with where there
   * is no such user. Written down, as the library keeps the 19 MiB of a hash once it has made one,
   * which a farm without users need not pay for.
   */
  static final String NOBODYS =
      "$argon2id$v=19$m=19456,t=2,p=1$MEO5KMdk4soGRl2/dUAXaA$GGZl6Brgz0oWrqqSja12pvYRU+y/6uSN3e6dG1bkq60";

  /** Too many are being worked out. */
  static final class BusyException extends RuntimeException {
    private static final long serialVersionUID = 1L;
  }

  /**
   * Whether it may be a password of this user.
   *
   * @throws RefusedAccessException if not, with the reason
   */
  static void check(String userName, String password) {
    int letters = password.codePointCount(0, password.length());
    if (letters < SHORTEST || letters > LONGEST) {
      throw new RefusedAccessException(
          "A password must have %d–%d letters. Four words that do not belong together are easy to keep in mind."
              .formatted(SHORTEST, LONGEST));
    }
    if (password.codePoints().distinct().count() < FEWEST_DIFFERENT
        || Names.key(password).replace(Names.key(userName), "").length() < SHORTEST / 2) {
      throw new RefusedAccessException(
          "That password is guessed too easily: take other letters, and not only the name.");
    }
  }

  String hash(String password) {
    return oneAtATime(() -> hashed(password));
  }

  private static String hashed(String password) {
    Argon2Function function =
        Argon2Function.getInstance(MEMORY_KIB, PASSES, LANES, HASH_BYTES, Argon2.ID);
    return Password.hash(password).addRandomSalt(SALT_BYTES).with(function).getResult();
  }

  /** Whether it is the password of this hash. */
  boolean matches(String password, String hash) {
    return password.length() <= LONGEST * 2
        && oneAtATime(
            () -> Password.check(password, hash).with(Argon2Function.getInstanceFromHash(hash)));
  }

  /** Takes as long as {@link #matches}, for users who do not exist. */
  void matchNobody(String password) {
    boolean unused = matches(password, NOBODYS);
  }

  private interface Work<T> {
    T run();
  }

  private <T> T oneAtATime(Work<T> work) {
    boolean ours = false;
    try {
      ours = atOnce.tryAcquire(PATIENCE.toMillis(), TimeUnit.MILLISECONDS);
      if (!ours) {
        throw new BusyException();
      }
      return work.run();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new BusyException();
    } finally {
      if (ours) {
        atOnce.release();
      }
    }
  }
}
