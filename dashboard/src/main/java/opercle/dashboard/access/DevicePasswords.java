// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

import com.password4j.Argon2Function;

/** Passwords of probes and displays, hashed as those of people are. For any thread. */
public final class DevicePasswords {

  private final Passwords passwords = new Passwords();

  /**
   * The hash of a password.
   *
   * @throws RefusedAccessException if it is too easily guessed, with the reason
   */
  public String hash(String name, String password) {
    Passwords.check(name, password);
    return passwords.hash(password);
  }

  /** Whether it is the password of this hash; no, where too many are being worked out. */
  public boolean matches(String password, String hash) {
    try {
      return passwords.matches(password, hash);
    } catch (Passwords.BusyException e) {
      return false; // the device comes again
    }
  }

  /** Whether it is a hash that {@link #hash} could have made. */
  public static boolean isHash(String text) {
    try {
      return text.startsWith("$argon2id$")
          && Argon2Function.getInstanceFromHash(text).getMemory() > 0;
    } catch (IllegalArgumentException | IndexOutOfBoundsException e) {
      return false;
    }
  }
}
