// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.io.IOException;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.PosixFilePermissions;
import java.security.MessageDigest;
import java.security.SecureRandom;
import java.time.Duration;
import java.time.Instant;
import java.util.Base64;
import java.util.Optional;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;

/**
 * Links by which one person says that they have one occurrence of an alarm, or of a trouble of the
 * monitor. A link is signed with a key that never leaves the data folder, and ends after twelve
 * hours. That one of an alarm works once is for the book to see to. Immutable; for any thread.
 */
public final class HaveLinks {

  private static final String KEY_FILE = "link.key";
  private static final int KEY_BYTES = 32;

  /** How long a link is good for. */
  static final Duration VALID = Duration.ofHours(12);

  private static final Base64.Encoder ENCODER = Base64.getUrlEncoder().withoutPadding();
  private static final String SEPARATOR = "\n";
  private static final int PARTS = 6;
  private static final String OF_MONITOR = "";
  private static final int MONITOR_PARTS = 4;

  private final URI publicUrl;
  private final String key;

  HaveLinks(URI publicUrl, String key) {
    this.publicUrl = publicUrl;
    this.key = key;
  }

  /**
   * What a link says.
   *
   * @param person who has it
   * @param tank the tank's id
   * @param cause the alarm
   * @param since its occurrence; to the millisecond
   * @param until when the link ends
   * @param nonce names the link
   */
  record Claim(
      String person, String tank, AlarmCause cause, Instant since, Instant until, String nonce) {

    /** Whether it was made for that person. */
    boolean isOf(String name) {
      return person.equalsIgnoreCase(name);
    }
  }

  /**
   * What a link about the monitor itself says.
   *
   * @param person who has it
   * @param key the occurrence, as calling names it
   * @param until when the link ends
   */
  record MonitorClaim(String person, String key, Instant until) {}

  /**
   * Links below that address, with the key of the data folder, which is made where there is none:
   * readable by its owner alone.
   *
   * @throws IOException if the key can be neither read nor made
   */
  public static HaveLinks in(Path dataFolder, URI publicUrl) throws IOException {
    Files.createDirectories(dataFolder);
    Path file = dataFolder.resolve(KEY_FILE);
    if (!Files.exists(file)) {
      make(dataFolder, file);
    }
    String key = Files.readString(file).strip();
    if (key.length() < KEY_BYTES) {
      throw new IOException("%s holds no key; delete it, and a new one is made".formatted(file));
    }
    return new HaveLinks(publicUrl, key);
  }

  private static void make(Path folder, Path file) throws IOException {
    byte[] bytes = new byte[KEY_BYTES];
    new SecureRandom().nextBytes(bytes);
    boolean posix = Files.getFileStore(folder).supportsFileAttributeView("posix");
    Path fresh =
        posix
            ? Files.createTempFile(
                folder,
                KEY_FILE,
                ".new",
                PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rw-------")))
            : Files.createTempFile(folder, KEY_FILE, ".new");
    // Through to the disk: after a power cut an empty file would keep Opercle from starting.
    Files.writeString(
        fresh, ENCODER.encodeToString(bytes), StandardOpenOption.WRITE, StandardOpenOption.SYNC);
    try {
      Files.move(fresh, file, StandardCopyOption.ATOMIC_MOVE);
    } catch (FileAlreadyExistsException e) {
      Files.delete(fresh); // another process was faster
    }
  }

  /** The link of a call. The same call gives the same nonce: all its copies work once together. */
  URI link(String person, AlarmEvent event, Instant now, String nonce) {
    String base = publicUrl.toString().replaceAll("/+$", "");
    Claim claim =
        new Claim(person, event.tank(), event.cause(), event.since(), now.plus(VALID), nonce);
    return URI.create(base + "/have/" + token(claim));
  }

  /** The link of a call about the monitor itself. Saying so again does no harm. */
  URI monitorLink(String person, String key, Instant now) {
    String base = publicUrl.toString().replaceAll("/+$", "");
    return URI.create(
        base + "/have/monitor/" + monitorToken(new MonitorClaim(person, key, now.plus(VALID))));
  }

  String monitorToken(MonitorClaim claim) {
    return signed(
        String.join(
            SEPARATOR,
            OF_MONITOR,
            claim.person(),
            claim.key(),
            Long.toString(claim.until().getEpochSecond())));
  }

  /** What a token about the monitor says; empty if it was not made here. It may have ended. */
  Optional<MonitorClaim> readMonitor(String token) {
    return parts(token)
        .filter(p -> p.length == MONITOR_PARTS && p[0].equals(OF_MONITOR))
        .map(p -> new MonitorClaim(p[1], p[2], Instant.ofEpochSecond(Long.parseLong(p[3]))));
  }

  String token(Claim claim) {
    return signed(
        String.join(
            SEPARATOR,
            claim.person(),
            claim.tank(),
            claim.cause().id(),
            Long.toString(claim.since().toEpochMilli()),
            Long.toString(claim.until().getEpochSecond()),
            claim.nonce()));
  }

  private String signed(String text) {
    String payload = ENCODER.encodeToString(text.getBytes(StandardCharsets.UTF_8));
    return payload + "." + WebhookChannel.hmac(key, payload);
  }

  /** What a token says; empty if it was not made here. It may have ended. */
  Optional<Claim> read(String token) {
    return parts(token).filter(p -> p.length == PARTS).flatMap(HaveLinks::claim);
  }

  private static Optional<Claim> claim(String[] parts) {
    return AlarmCause.of(parts[2])
        .map(
            cause ->
                new Claim(
                    parts[0],
                    parts[1],
                    cause,
                    Instant.ofEpochMilli(Long.parseLong(parts[3])),
                    Instant.ofEpochSecond(Long.parseLong(parts[4])),
                    parts[5]));
  }

  private Optional<String[]> parts(String token) {
    int dot = token.indexOf('.');
    if (dot < 0) {
      return Optional.empty();
    }
    String payload = token.substring(0, dot);
    byte[] given = token.substring(dot + 1).getBytes(StandardCharsets.UTF_8);
    byte[] right = WebhookChannel.hmac(key, payload).getBytes(StandardCharsets.UTF_8);
    if (!MessageDigest.isEqual(given, right)) {
      return Optional.empty();
    }
    return Optional.of(
        new String(Base64.getUrlDecoder().decode(payload), StandardCharsets.UTF_8)
            .split(SEPARATOR, -1));
  }
}
