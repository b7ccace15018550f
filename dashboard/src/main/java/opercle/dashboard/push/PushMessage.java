// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import java.nio.ByteBuffer;
import java.security.KeyPair;
import java.security.SecureRandom;

/** Encrypts a message so that only the subscribed browser can read it: RFC 8291. For any thread. */
final class PushMessage {

  /** The most that a message can carry, bytes. */
  static final int MOST_BYTES = EncryptedContent.mostContent(P256.POINT_BYTES);

  private static final SecureRandom RANDOM = new SecureRandom();
  private static final int SECRET_BYTES = 32;

  private PushMessage() {}

  /** Encrypts with a key pair and a salt for this message alone. */
  static byte[] encrypt(byte[] content, PushSubscription to) {
    byte[] salt = new byte[EncryptedContent.SALT_BYTES];
    RANDOM.nextBytes(salt);
    return encrypt(content, to, P256.pair(), salt);
  }

  static byte[] encrypt(byte[] content, PushSubscription to, KeyPair own, byte[] salt) {
    byte[] theirPoint = to.keyBytes();
    byte[] ownPoint = P256.point(own.getPublic());
    byte[] shared = P256.shared(own.getPrivate(), P256.publicKey(theirPoint));
    byte[] label = EncryptedContent.info("WebPush: info");
    byte[] info =
        ByteBuffer.allocate(label.length + theirPoint.length + ownPoint.length)
            .put(label)
            .put(theirPoint)
            .put(ownPoint)
            .array();
    byte[] secret = EncryptedContent.derived(to.authBytes(), shared, info, SECRET_BYTES);
    return EncryptedContent.encrypt(content, secret, salt, ownPoint);
  }
}
