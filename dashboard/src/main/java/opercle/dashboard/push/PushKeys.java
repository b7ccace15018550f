// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import com.interaso.webpush.VapidKeys;
import com.interaso.webpush.WebPush;
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
import java.time.Duration;
import java.util.Base64;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * The key pair by which push services know this farm, RFC 8292 (VAPID), and what is done with it:
 * signing, and encrypting for a device, RFC 8291. Browsers subscribe to its public half, so losing
 * the file means that every device must subscribe anew. For any thread.
 *
 * <p>The library is written in Kotlin and declares none of the checked exceptions that it lets
 * through, which is why {@code Exception} is caught here.
 */
public final class PushKeys {

  private static final String FILE = "push-keys.txt";
  private static final Base64.Encoder BASE64 = Base64.getUrlEncoder().withoutPadding();

  /** The library wants somebody to be named; RFC 2606 keeps this name for what is nowhere. */
  private static final URI NOBODY = URI.create("https://opercle.invalid");

  private final WebPush push;

  private PushKeys(VapidKeys keys, Optional<URI> contact) {
    this.push = new WebPush(contact.orElse(NOBODY).toString(), keys);
  }

  /** A new pair that is kept nowhere. */
  static PushKeys fresh(Optional<URI> contact) {
    return new PushKeys(VapidKeys.generate(), contact);
  }

  /**
   * The pair of a data folder, made at the first call. The file can be read by its owner alone: the
   * private half as the bare number, the public one as an uncompressed point, each a line of
   * base64url.
   *
   * @param contact {@code mailto:} or {@code https:} address at which a push service may reach the
   *     keeper; some services refuse messages without one
   * @throws PushKeysException if the file cannot be made, or holds no such pair
   */
  public static PushKeys in(Path dataFolder, Optional<URI> contact) {
    Path file = dataFolder.resolve(FILE);
    try {
      if (!Files.exists(file)) {
        write(file, VapidKeys.generate());
      }
      List<String> lines = Files.readAllLines(file, StandardCharsets.US_ASCII);
      return new PushKeys(
          VapidKeys.fromUncompressedBytes(lines.get(1).strip(), lines.get(0).strip()), contact);
    } catch (IOException e) {
      throw new PushKeysException(
          "the push keys %s cannot be read or made: %s".formatted(file, e.getMessage()), e);
    } catch (Exception e) {
      throw new PushKeysException(
          "%s is not a key pair of Opercle's. Restore it; or delete it, and every device must ask for notices again"
              .formatted(file),
          e);
    }
  }

  /** The public half, base64url, as a browser's {@code applicationServerKey} wants it. */
  public String publicKey() {
    return BASE64.encodeToString(push.getVapidKeys().getApplicationServerKey());
  }

  /**
   * Encrypts so that only the subscribed browser can read it, with a key pair and a salt for this
   * message alone.
   *
   * @throws IllegalArgumentException if the device's key is no point of the curve P-256
   */
  byte[] encrypted(byte[] content, PushSubscription to) {
    try {
      return push.getBody(content, to.keyBytes(), to.authBytes());
    } catch (Exception e) {
      throw new IllegalArgumentException("a public key must be a point of the curve P-256", e);
    }
  }

  /**
   * All headers of a message: how it is encrypted, how long it lives, and the token that says who
   * sends it, valid for 12 h of the 24 h that RFC 8292 section 2 allows, which forgives a clock
   * that is off.
   *
   * @param timeToLive to the second
   * @param topic as RFC 8030 section 5.4 wants it
   */
  Map<String, String> headers(
      URI endpoint, Duration timeToLive, Urgency urgency, Optional<String> topic) {
    return push.getHeaders(
        endpoint.toString(),
        Math.toIntExact(timeToLive.toSeconds()),
        topic.orElse(null),
        urgency.header());
  }

  /** Written whole or not at all, and never readable by others, not for a moment. */
  private static void write(Path file, VapidKeys pair) throws IOException {
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
    Files.writeString(
        draft,
        BASE64.encodeToString(pair.getPrivateKey().getS().toByteArray())
            + "\n"
            + BASE64.encodeToString(pair.getApplicationServerKey())
            + "\n",
        StandardOpenOption.WRITE,
        StandardOpenOption.SYNC); // through to the disk, or a power cut leaves an empty file
    Files.move(draft, file, StandardCopyOption.ATOMIC_MOVE);
  }
}
