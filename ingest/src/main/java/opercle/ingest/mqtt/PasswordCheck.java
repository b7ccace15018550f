// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

/** Compares a password with the hash that is kept of it. */
@FunctionalInterface
public interface PasswordCheck {

  /** Whether it is the password of this hash. May take long; for many threads. */
  boolean matches(String password, String hash);
}
