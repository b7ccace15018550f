// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import java.net.URI;
import java.net.URISyntaxException;
import java.time.Instant;
import java.util.Base64;

/**
 * One browser on one device that takes notices, and whose it is.
 *
 * @param endpoint where its push service takes messages for it; a secret of the device: whoever
 *     knows it can be a nuisance
 * @param p256dh the browser's public key, base64url: an uncompressed point, 65 bytes; whether it is
 *     one of the curve P-256 shows when something is encrypted for it
 * @param auth the browser's secret, base64url, 16 bytes
 * @param person whose device it is
 * @param since when it was subscribed
 */
public record PushSubscription(
    URI endpoint, String p256dh, String auth, String person, Instant since) {

  /** More is no endpoint of any known push service. */
  static final int LONGEST_ENDPOINT = 1024;

  private static final int POINT_BYTES = 65; // of SEC 1 section 2.3.3: 4, x, y
  private static final byte UNCOMPRESSED = 4;
  private static final int AUTH_BYTES = 16;
  private static final int LONGEST_KEY = 128;

  /**
   * @throws IllegalArgumentException with a sentence that names the field, if a key cannot be used
   */
  public PushSubscription {
    byte[] point = decoded("keys.p256dh", p256dh);
    if (point.length != POINT_BYTES || point[0] != UNCOMPRESSED) {
      throw new IllegalArgumentException(
          "keys.p256dh: a public key must be an uncompressed point of 65 bytes, the first of them 4.");
    }
    if (decoded("keys.auth", auth).length != AUTH_BYTES) {
      throw new IllegalArgumentException("keys.auth: the secret must be 16 bytes.");
    }
  }

  /**
   * A subscription as a browser gave it.
   *
   * @throws IllegalArgumentException with a sentence that names the field and the limit
   */
  public static PushSubscription of(
      String endpoint, String p256dh, String auth, String person, Instant since) {
    if (endpoint.isBlank() || endpoint.length() > LONGEST_ENDPOINT) {
      throw new IllegalArgumentException(
          "endpoint: must have 1–%d letters.".formatted(LONGEST_ENDPOINT));
    }
    try {
      return new PushSubscription(new URI(endpoint), p256dh, auth, person, since);
    } catch (URISyntaxException e) {
      throw new IllegalArgumentException("endpoint: is not a web address.", e);
    }
  }

  /** What may be shown and logged of the endpoint: its push service. */
  public String service() {
    return String.valueOf(endpoint.getHost());
  }

  byte[] keyBytes() {
    return Base64.getUrlDecoder().decode(p256dh);
  }

  byte[] authBytes() {
    return Base64.getUrlDecoder().decode(auth);
  }

  private static byte[] decoded(String field, String text) {
    if (text.length() > LONGEST_KEY) {
      throw new IllegalArgumentException(
          "%s: must have at most %d letters.".formatted(field, LONGEST_KEY));
    }
    try {
      return Base64.getUrlDecoder().decode(text);
    } catch (IllegalArgumentException e) {
      throw new IllegalArgumentException(field + ": is not base64url.", e);
    }
  }
}
