// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import java.math.BigInteger;
import java.security.AlgorithmParameters;
import java.security.GeneralSecurityException;
import java.security.KeyFactory;
import java.security.KeyPair;
import java.security.KeyPairGenerator;
import java.security.PrivateKey;
import java.security.PublicKey;
import java.security.interfaces.ECPublicKey;
import java.security.spec.ECGenParameterSpec;
import java.security.spec.ECParameterSpec;
import java.security.spec.ECPoint;
import java.security.spec.ECPrivateKeySpec;
import java.security.spec.ECPublicKeySpec;
import java.util.Arrays;
import javax.crypto.KeyAgreement;

/**
 * The curve for the receiving side, on the JDK alone: what the library sends must be read by
 * something that shares nothing with it. Public keys are the uncompressed points of SEC 1 (0x04, x,
 * y: 65 bytes), private keys the bare number (32 bytes).
 */
final class P256 {

  private static final int NUMBER_BYTES = 32;
  private static final String CURVE = "secp256r1";

  private P256() {}

  /** A new pair. */
  static KeyPair pair() {
    try {
      KeyPairGenerator generator = KeyPairGenerator.getInstance("EC");
      generator.initialize(new ECGenParameterSpec(CURVE));
      return generator.generateKeyPair();
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException("this Java has no P-256", e);
    }
  }

  /** A public key as 65 bytes. */
  static byte[] point(PublicKey key) {
    ECPoint w = ((ECPublicKey) key).getW();
    byte[] point = new byte[1 + 2 * NUMBER_BYTES];
    point[0] = 4;
    put(w.getAffineX(), point, 1);
    put(w.getAffineY(), point, 1 + NUMBER_BYTES);
    return point;
  }

  /** The public key of 65 bytes. */
  static PublicKey publicKey(byte[] point) throws GeneralSecurityException {
    BigInteger x = new BigInteger(1, Arrays.copyOfRange(point, 1, 1 + NUMBER_BYTES));
    BigInteger y = new BigInteger(1, Arrays.copyOfRange(point, 1 + NUMBER_BYTES, point.length));
    return KeyFactory.getInstance("EC")
        .generatePublic(new ECPublicKeySpec(new ECPoint(x, y), parameters()));
  }

  /** The private key of a number. */
  static PrivateKey privateKey(byte[] number) throws GeneralSecurityException {
    return KeyFactory.getInstance("EC")
        .generatePrivate(new ECPrivateKeySpec(new BigInteger(1, number), parameters()));
  }

  /** The secret that two pairs share (Diffie–Hellman), 32 bytes. */
  static byte[] shared(PrivateKey own, PublicKey theirs) throws GeneralSecurityException {
    KeyAgreement agreement = KeyAgreement.getInstance("ECDH");
    agreement.init(own);
    agreement.doPhase(theirs, true);
    return agreement.generateSecret();
  }

  private static void put(BigInteger value, byte[] into, int at) {
    byte[] bytes = value.toByteArray(); // shorter than 32 for a small number, 33 for a sign byte
    int from = Math.max(0, bytes.length - NUMBER_BYTES);
    int length = bytes.length - from;
    System.arraycopy(bytes, from, into, at + NUMBER_BYTES - length, length);
  }

  private static ECParameterSpec parameters() throws GeneralSecurityException {
    AlgorithmParameters parameters = AlgorithmParameters.getInstance("EC");
    parameters.init(new ECGenParameterSpec(CURVE));
    return parameters.getParameterSpec(ECParameterSpec.class);
  }
}
