// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.GeneralSecurityException;
import java.util.Arrays;
import javax.crypto.Cipher;
import javax.crypto.Mac;
import javax.crypto.spec.GCMParameterSpec;
import javax.crypto.spec.SecretKeySpec;

/**
 * The receiving side of {@code aes128gcm}, written from RFC 8188 section 2 for messages of any
 * number of records, and sharing nothing with the sending side.
 */
final class Decryption {

  private final byte[] message;
  private final byte[] salt;
  private final int recordBytes;
  private final byte[] keyId;

  Decryption(byte[] message) {
    this.message = message.clone();
    ByteBuffer header = ByteBuffer.wrap(message);
    salt = new byte[16];
    header.get(salt);
    recordBytes = header.getInt();
    keyId = new byte[header.get() & 0xff];
    header.get(keyId);
  }

  byte[] keyId() {
    return keyId.clone();
  }

  byte[] content(byte[] secret) throws GeneralSecurityException {
    byte[] pseudoRandom = hmac(salt, secret);
    byte[] key = Arrays.copyOf(hmac(pseudoRandom, ascii("Content-Encoding: aes128gcm\0\1")), 16);
    byte[] base = Arrays.copyOf(hmac(pseudoRandom, ascii("Content-Encoding: nonce\0\1")), 12);
    var content = new ByteArrayOutputStream();
    int at = 21 + keyId.length;
    for (int sequence = 0; at < message.length; sequence++) {
      int to = Math.min(at + recordBytes, message.length);
      byte[] nonce = base.clone();
      nonce[11] ^= (byte) sequence;
      Cipher cipher = Cipher.getInstance("AES/GCM/NoPadding");
      cipher.init(
          Cipher.DECRYPT_MODE, new SecretKeySpec(key, "AES"), new GCMParameterSpec(128, nonce));
      byte[] record = cipher.doFinal(message, at, to - at);
      int end = record.length - 1;
      while (record[end] == 0) {
        end--;
      }
      int delimiter = to == message.length ? 2 : 1;
      if (record[end] != delimiter) {
        throw new GeneralSecurityException("record " + sequence + " ends with " + record[end]);
      }
      content.write(record, 0, end);
      at = to;
    }
    return content.toByteArray();
  }

  static byte[] hmac(byte[] key, byte[] data) throws GeneralSecurityException {
    Mac mac = Mac.getInstance("HmacSHA256");
    mac.init(new SecretKeySpec(key, "HmacSHA256"));
    return mac.doFinal(data);
  }

  static byte[] ascii(String text) {
    return text.getBytes(StandardCharsets.US_ASCII);
  }
}
