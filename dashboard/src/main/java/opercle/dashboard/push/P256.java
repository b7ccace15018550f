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
import java.security.spec.ECFieldFp;
import java.security.spec.ECGenParameterSpec;
import java.security.spec.ECParameterSpec;
import java.security.spec.ECPoint;
import java.security.spec.ECPrivateKeySpec;
import java.security.spec.ECPublicKeySpec;
import java.util.Arrays;
import javax.crypto.KeyAgreement;

/**
 * Keys on the curve P-256, in the forms in which Web Push writes them: a public key as the
 * uncompressed point of SEC 1 (0x04, x, y: 65 bytes), a private key as the bare number (32 bytes).
 * Stateless; for any thread.
 */
final class P256 {

  /** Bytes of a public key. */
  static final int POINT_BYTES = 65;

  private static final int NUMBER_BYTES = 32;
  private static final String CURVE = "secp256r1";
  private static final ECParameterSpec PARAMETERS = parameters();

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
    byte[] point = new byte[POINT_BYTES];
    point[0] = 4;
    put(w.getAffineX(), point, 1);
    put(w.getAffineY(), point, 1 + NUMBER_BYTES);
    return point;
  }

  /** A private key as 32 bytes. */
  static byte[] number(BigInteger s) {
    byte[] number = new byte[NUMBER_BYTES];
    put(s, number, 0);
    return number;
  }

  /**
   * The public key of 65 bytes.
   *
   * @throws IllegalArgumentException if they are not a point of the curve: a point off the curve
   *     would give the private key away, bit by bit
   */
  static PublicKey publicKey(byte[] point) {
    if (point.length != POINT_BYTES || point[0] != 4) {
      throw new IllegalArgumentException(
          "a public key must be an uncompressed point of 65 bytes, the first of them 4");
    }
    BigInteger x = new BigInteger(1, Arrays.copyOfRange(point, 1, 1 + NUMBER_BYTES));
    BigInteger y = new BigInteger(1, Arrays.copyOfRange(point, 1 + NUMBER_BYTES, POINT_BYTES));
    if (!isOnCurve(x, y)) {
      throw new IllegalArgumentException("a public key must be a point of the curve P-256");
    }
    try {
      return KeyFactory.getInstance("EC")
          .generatePublic(new ECPublicKeySpec(new ECPoint(x, y), PARAMETERS));
    } catch (GeneralSecurityException e) {
      throw new IllegalArgumentException("not a usable public key: " + e.getMessage(), e);
    }
  }

  /**
   * The private key of a number.
   *
   * @throws IllegalArgumentException if it is not between 1 and the curve's order
   */
  static PrivateKey privateKey(byte[] number) {
    BigInteger s = new BigInteger(1, number);
    if (s.signum() == 0 || s.compareTo(PARAMETERS.getOrder()) >= 0) {
      throw new IllegalArgumentException("not a private key of the curve P-256");
    }
    try {
      return KeyFactory.getInstance("EC").generatePrivate(new ECPrivateKeySpec(s, PARAMETERS));
    } catch (GeneralSecurityException e) {
      throw new IllegalArgumentException("not a usable private key: " + e.getMessage(), e);
    }
  }

  /** The secret that two pairs share (Diffie–Hellman), 32 bytes. */
  static byte[] shared(PrivateKey own, PublicKey theirs) {
    try {
      KeyAgreement agreement = KeyAgreement.getInstance("ECDH");
      agreement.init(own);
      agreement.doPhase(theirs, true);
      return agreement.generateSecret();
    } catch (GeneralSecurityException e) {
      throw new IllegalArgumentException("the keys do not go together: " + e.getMessage(), e);
    }
  }

  private static boolean isOnCurve(BigInteger x, BigInteger y) {
    BigInteger p = ((ECFieldFp) PARAMETERS.getCurve().getField()).getP();
    if (x.compareTo(p) >= 0 || y.compareTo(p) >= 0) {
      return false;
    }
    BigInteger right =
        x.pow(3)
            .add(PARAMETERS.getCurve().getA().multiply(x))
            .add(PARAMETERS.getCurve().getB())
            .mod(p);
    return y.pow(2).mod(p).equals(right);
  }

  private static void put(BigInteger value, byte[] into, int at) {
    byte[] bytes = value.toByteArray(); // shorter than 32 for a small number, 33 for a sign byte
    int from = Math.max(0, bytes.length - NUMBER_BYTES);
    int length = bytes.length - from;
    System.arraycopy(bytes, from, into, at + NUMBER_BYTES - length, length);
  }

  private static ECParameterSpec parameters() {
    try {
      AlgorithmParameters parameters = AlgorithmParameters.getInstance("EC");
      parameters.init(new ECGenParameterSpec(CURVE));
      return parameters.getParameterSpec(ECParameterSpec.class);
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException("this Java has no P-256", e);
    }
  }
}
