// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.FileAttribute;
import java.nio.file.attribute.PosixFilePermissions;
import java.security.GeneralSecurityException;
import java.security.KeyPair;
import java.security.MessageDigest;
import java.security.PrivateKey;
import java.security.PublicKey;
import java.security.Signature;
import java.security.interfaces.ECPrivateKey;
import java.time.Duration;
import java.time.Instant;
import java.util.Base64;
import java.util.List;
import java.util.Optional;

/**
 * The key pair by which push services know this farm: RFC 8292 (VAPID). Browsers subscribe to its
 * public half, so losing the file means that every device must subscribe anew. For any thread.
 */
public final class VapidKeys {

  /** RFC 8292 section 2 allows 24 h at most; half of it forgives a clock that is off. */
  private static final Duration VALID = Duration.ofHours(12);

  private static final String FILE = "push-keys.txt";
  private static final Base64.Encoder BASE64 = Base64.getUrlEncoder().withoutPadding();

  private final PrivateKey privateKey;
  private final String publicKey;
  private final Optional<String> contact;

  private VapidKeys(PrivateKey privateKey, PublicKey publicKey, Optional<String> contact) {
    this.privateKey = privateKey;
    this.publicKey = BASE64.encodeToString(P256.point(publicKey));
    this.contact = contact;
  }

  /** A new pair that is kept nowhere. */
  static VapidKeys fresh(Optional<String> contact) {
    KeyPair pair = P256.pair();
    return new VapidKeys(pair.getPrivate(), pair.getPublic(), contact);
  }

  /**
   * The pair of a data folder, made at the first call. The file can be read by its owner alone.
   *
   * @param contact {@code mailto:} or {@code https:} address at which a push service may reach the
   *     keeper; some services refuse messages without one
   * @throws PushKeysException if the file cannot be made, or holds no such pair
   */
  public static VapidKeys in(Path dataFolder, Optional<String> contact) {
    Path file = dataFolder.resolve(FILE);
    try {
      if (!Files.exists(file)) {
        write(file, P256.pair());
      }
      List<String> lines = Files.readAllLines(file, StandardCharsets.US_ASCII);
      Base64.Decoder decoder = Base64.getUrlDecoder();
      PrivateKey own = P256.privateKey(decoder.decode(lines.get(0).strip()));
      PublicKey open = P256.publicKey(decoder.decode(lines.get(1).strip()));
      requirePair(own, open);
      return new VapidKeys(own, open, contact);
    } catch (IOException e) {
      throw new PushKeysException(
          "the push keys %s cannot be read or made: %s".formatted(file, e.getMessage()), e);
    } catch (IllegalArgumentException | IndexOutOfBoundsException e) {
      throw new PushKeysException(
          "%s is not a key pair of Opercle's: %s. Restore it; or delete it, and every device must ask for notices again"
              .formatted(file, e.getMessage()),
          e);
    }
  }

  /** The public half, base64url, as a browser's {@code applicationServerKey} wants it. */
  public String publicKey() {
    return publicKey;
  }

  /** The {@code Authorization} header of a message to an endpoint. */
  String authorization(URI endpoint, Instant now) {
    return "vapid t=%s, k=%s".formatted(token(origin(endpoint), now), publicKey);
  }

  private String token(String audience, Instant now) {
    ObjectNode claims = JsonNodeFactory.instance.objectNode();
    claims.put("aud", audience);
    claims.put("exp", now.plus(VALID).getEpochSecond());
    contact.ifPresent(address -> claims.put("sub", address));
    String signed = part("{\"typ\":\"JWT\",\"alg\":\"ES256\"}") + "." + part(claims.toString());
    return signed + "." + BASE64.encodeToString(signature(signed));
  }

  private byte[] signature(String text) {
    try {
      // The two numbers side by side, as RFC 7518 section 3.4 has them, not in DER.
      Signature signature = Signature.getInstance("SHA256withECDSAinP1363Format");
      signature.initSign(privateKey);
      signature.update(text.getBytes(StandardCharsets.US_ASCII));
      return signature.sign();
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException("this Java cannot sign with ES256", e);
    }
  }

  private static String part(String json) {
    return BASE64.encodeToString(json.getBytes(StandardCharsets.UTF_8));
  }

  /** Scheme, host and, where it is given, port. */
  private static String origin(URI endpoint) {
    String port = endpoint.getPort() == -1 ? "" : ":" + endpoint.getPort();
    return endpoint.getScheme() + "://" + endpoint.getHost() + port;
  }

  private static void requirePair(PrivateKey own, PublicKey open) {
    KeyPair other = P256.pair();
    byte[] one = P256.shared(own, other.getPublic());
    byte[] two = P256.shared(other.getPrivate(), open);
    if (!MessageDigest.isEqual(one, two)) {
      throw new IllegalArgumentException("the two keys are not of one pair");
    }
  }

  /** Written whole or not at all, and never readable by others, not for a moment. */
  private static void write(Path file, KeyPair pair) throws IOException {
    Path folder = file.toAbsolutePath().getParent();
    if (folder == null) {
      throw new IOException("the data folder has no place");
    }
    Files.createDirectories(folder);
    boolean posix = FileSystems.getDefault().supportedFileAttributeViews().contains("posix");
    FileAttribute<?>[] ownerAlone =
        posix
            ? new FileAttribute<?>[] {
              PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rw-------"))
            }
            : new FileAttribute<?>[0];
    Path draft = Files.createTempFile(folder, FILE, ".new", ownerAlone);
    byte[] number = P256.number(((ECPrivateKey) pair.getPrivate()).getS());
    Files.writeString(
        draft,
        BASE64.encodeToString(number)
            + "\n"
            + BASE64.encodeToString(P256.point(pair.getPublic()))
            + "\n",
        StandardOpenOption.WRITE,
        StandardOpenOption.SYNC); // through to the disk, or a power cut leaves an empty file
    Files.move(draft, file, StandardCopyOption.ATOMIC_MOVE);
  }
}
