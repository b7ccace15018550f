// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import java.net.URI;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.GeneralSecurityException;
import java.security.KeyPair;
import java.time.Instant;
import java.util.Base64;

/** A browser that has subscribed: it has the private half of the key, and reads what it is sent. */
final class FakeDevice {

  private static final Base64.Encoder BASE64 = Base64.getUrlEncoder().withoutPadding();

  private final KeyPair pair;
  private final byte[] auth;

  FakeDevice() {
    this(P256.pair(), "sixteen letters.".getBytes(StandardCharsets.US_ASCII));
  }

  FakeDevice(KeyPair pair, byte[] auth) {
    this.pair = pair;
    this.auth = auth.clone();
  }

  PushSubscription at(String endpoint) {
    return new PushSubscription(
        URI.create(endpoint),
        BASE64.encodeToString(P256.point(pair.getPublic())),
        BASE64.encodeToString(auth),
        "Maren",
        Instant.parse("2026-03-14T02:11:07Z"));
  }

  /** RFC 8291 section 3.4, from the receiver's side. */
  String read(byte[] message) throws GeneralSecurityException {
    var decryption = new Decryption(message);
    byte[] theirs = decryption.keyId();
    byte[] shared = P256.shared(pair.getPrivate(), P256.publicKey(theirs));
    byte[] own = P256.point(pair.getPublic());
    byte[] label = Decryption.ascii("WebPush: info\0");
    byte[] info =
        ByteBuffer.allocate(label.length + own.length + theirs.length + 1)
            .put(label)
            .put(own)
            .put(theirs)
            .put((byte) 1)
            .array();
    byte[] secret = Decryption.hmac(Decryption.hmac(auth, shared), info);
    return new String(decryption.content(secret), StandardCharsets.UTF_8);
  }
}
