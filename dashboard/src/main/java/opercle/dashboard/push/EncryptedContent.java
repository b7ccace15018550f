// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.GeneralSecurityException;
import java.util.Arrays;
import javax.crypto.Cipher;
import javax.crypto.Mac;
import javax.crypto.spec.GCMParameterSpec;
import javax.crypto.spec.SecretKeySpec;

/**
 * The content coding {@code aes128gcm} of RFC 8188, for content of one record. Stateless; for any
 * thread.
 */
final class EncryptedContent {

  /** Bytes of a salt. */
  static final int SALT_BYTES = 16;

  private static final int RECORD_BYTES = 4096;
  private static final int TAG_BYTES = 16;
  private static final int KEY_BYTES = 16;
  private static final int NONCE_BYTES = 12;
  private static final byte LAST_RECORD = 2; // the delimiter after the content, RFC 8188 section 2

  private EncryptedContent() {}

  /** The most content that fits, bytes, with a key id of that length. */
  static int mostContent(int keyIdBytes) {
    // The whole message stays within the 4096 bytes that every push service must take (RFC 8030).
    return RECORD_BYTES - SALT_BYTES - Integer.BYTES - 1 - keyIdBytes - TAG_BYTES - 1;
  }

  /**
   * Encrypts.
   *
   * @param content at most {@link #mostContent}
   * @param secret what both sides know (the input keying material)
   * @param salt 16 random bytes, never used twice
   * @param keyId tells the other side which secret; may be empty
   * @return header and record
   */
  static byte[] encrypt(byte[] content, byte[] secret, byte[] salt, byte[] keyId) {
    if (content.length > mostContent(keyId.length)) {
      throw new IllegalArgumentException(
          "content must be at most %d bytes but has %d"
              .formatted(mostContent(keyId.length), content.length));
    }
    byte[] record = Arrays.copyOf(content, content.length + 1);
    record[content.length] = LAST_RECORD;
    byte[] key = derived(salt, secret, info("Content-Encoding: aes128gcm"), KEY_BYTES);
    byte[] nonce = derived(salt, secret, info("Content-Encoding: nonce"), NONCE_BYTES);
    byte[] sealed = seal(record, key, nonce);
    return ByteBuffer.allocate(SALT_BYTES + Integer.BYTES + 1 + keyId.length + sealed.length)
        .put(salt)
        .putInt(RECORD_BYTES)
        .put((byte) keyId.length)
        .put(keyId)
        .put(sealed)
        .array();
  }

  /** HKDF with SHA-256 (RFC 5869) for at most 32 bytes, which take one round. */
  static byte[] derived(byte[] salt, byte[] secret, byte[] info, int length) {
    byte[] extracted = hmac(salt, secret);
    byte[] round = Arrays.copyOf(info, info.length + 1);
    round[info.length] = 1;
    return Arrays.copyOf(hmac(extracted, round), length);
  }

  /** What a key is for, ended by a zero byte. */
  static byte[] info(String purpose) {
    return (purpose + "\0").getBytes(StandardCharsets.US_ASCII);
  }

  private static byte[] seal(byte[] record, byte[] key, byte[] nonce) {
    try {
      Cipher cipher = Cipher.getInstance("AES/GCM/NoPadding");
      cipher.init(
          Cipher.ENCRYPT_MODE,
          new SecretKeySpec(key, "AES"),
          new GCMParameterSpec(8 * TAG_BYTES, nonce));
      return cipher.doFinal(record);
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException("this Java cannot encrypt with AES-GCM", e);
    }
  }

  private static byte[] hmac(byte[] key, byte[] data) {
    try {
      Mac mac = Mac.getInstance("HmacSHA256");
      mac.init(new SecretKeySpec(key, "HmacSHA256"));
      return mac.doFinal(data);
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException("every Java platform has HmacSHA256", e);
    }
  }
}
