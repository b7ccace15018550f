// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.security.SecureRandom;
import java.util.Base64;
import java.util.HexFormat;

/**
 * Random secrets, and what is kept of them. A plain hash is enough: nobody can go through 2^256.
 */
final class Secrets {

  private static final int BYTES = 32;
  private static final int ID_BYTES = 5;
  private static final SecureRandom RANDOM = new SecureRandom();

  private Secrets() {}

  /** 256 random bits, base64url. */
  static String made() {
    return Base64.getUrlEncoder().withoutPadding().encodeToString(bytes(BYTES));
  }

  /** A short random name; no secret. */
  static String id() {
    return HexFormat.of().formatHex(bytes(ID_BYTES));
  }

  /** What is kept of a secret, hex. */
  static String hash(String secret) {
    try {
      byte[] hash = MessageDigest.getInstance("SHA-256").digest(secret.getBytes(UTF_8));
      return HexFormat.of().formatHex(hash);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }

  private static byte[] bytes(int count) {
    byte[] bytes = new byte[count];
    RANDOM.nextBytes(bytes);
    return bytes;
  }
}
