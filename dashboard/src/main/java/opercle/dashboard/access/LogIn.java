// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

import java.time.Duration;

/** What became of a try to log in. */
public sealed interface LogIn {

  /**
   * Name and password are right.
   *
   * @param secret what the browser is to hold; it is nowhere else
   */
  record Done(String secret, Identity who) implements LogIn {
    /** Without the secret: a log must not hold it. */
    @Override
    public String toString() {
      return "Done[" + who + "]";
    }
  }

  /** Name or password is wrong; which is not said. */
  record Wrong() implements LogIn {}

  /**
   * Not tried: too many were wrong before.
   *
   * @param delay how long until it can be tried again
   */
  record Later(Duration delay) implements LogIn {}
}
