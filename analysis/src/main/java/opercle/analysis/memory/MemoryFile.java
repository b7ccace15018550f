// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.memory;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.Optional;
import java.util.zip.CRC32C;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * One record in a file of its own: a line of JSON that says what it is, then a line of JSON with
 * the record. It is there as a whole or not at all, whenever the process or the power ends.
 *
 * <p>The first line holds the format of the file, a fingerprint of the record's structure (so that
 * a file from before an update is known as such), the time of what is saved, and a checksum of the
 * second line. Safe for many threads, one at a time.
 *
 * @param <T> the record
 */
final class MemoryFile<T extends Record> {

  private static final Logger log = LoggerFactory.getLogger(MemoryFile.class);
  private static final int FORMAT = 1;
  private static final JsonFactory JSON = new JsonFactory();
  private static final ObjectMapper MAPPER = new ObjectMapper(JSON);

  private final Path file;
  private final Class<T> type;
  private final RecordForm form;
  private final String shape;
  private final boolean lenient;
  private final String whenOfAnotherVersion;
  private volatile boolean wasDamaged;
  private volatile boolean isSaved;

  /**
   * A file that may be there or not.
   *
   * @param lenient whether what another version wrote is still to be read as far as it can be
   * @param whenOfAnotherVersion what is lost with a file that is of another version, as the end of
   *     a sentence for the log
   */
  MemoryFile(Path file, Class<T> type, boolean lenient, String whenOfAnotherVersion) {
    this.file = file;
    this.type = type;
    this.form = RecordForm.of(type, lenient); // without names nobody else could read it
    this.shape = fingerprint(form.shape());
    this.lenient = lenient;
    this.whenOfAnotherVersion = whenOfAnotherVersion;
  }

  /**
   * Saves; on the disk when this returns.
   *
   * @throws IOException if it could not; then the file is as it was
   */
  synchronized void save(Instant at, T what) throws IOException {
    byte[] content = json(g -> form.write(g, what));
    byte[] head =
        json(
            g -> {
              g.writeStartObject();
              g.writeNumberField("format", FORMAT);
              g.writeStringField("holds", type.getSimpleName());
              g.writeStringField("shape", shape);
              g.writeStringField("at", at.toString());
              g.writeStringField("crc32c", checksum(content, 0, content.length));
              g.writeEndObject();
            });
    ByteBuffer whole = ByteBuffer.allocate(head.length + content.length + 2);
    whole.put(head).put((byte) '\n').put(content).put((byte) '\n').flip();
    Path fresh = sibling(".new");
    try (FileChannel out =
        FileChannel.open(
            fresh,
            StandardOpenOption.CREATE,
            StandardOpenOption.TRUNCATE_EXISTING,
            StandardOpenOption.WRITE)) {
      while (whole.hasRemaining()) {
        out.write(whole);
      }
      out.force(true);
    }
    Files.move(fresh, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
    forceFolder();
    isSaved = true;
  }

  /** Whether it was there and could not be read; and if so, whether it has been saved since. */
  Optional<WatchMemory.Damage> damage(WatchMemory.Part part) {
    return wasDamaged ? Optional.of(new WatchMemory.Damage(part, isSaved)) : Optional.empty();
  }

  /** Without this the new name may be lost with the power, though the file is not. */
  private void forceFolder() throws IOException {
    if (!System.getProperty("os.name", "").startsWith("Windows")) { // a folder is no file there
      try (FileChannel folder = FileChannel.open(folder(), StandardOpenOption.READ)) {
        folder.force(true);
      }
    }
  }

  /**
   * What was saved last. A file that is damaged is moved aside; one that this user may not read, or
   * of another version that cannot be read, is left to be written over. Each is told in one line of
   * the log.
   */
  synchronized Optional<Remembered<T>> load() {
    byte[] all;
    try {
      all = Files.readAllBytes(file);
    } catch (NoSuchFileException e) {
      return Optional.empty();
    } catch (IOException e) {
      wasDamaged = true;
      log.warn(
          "{} could not be read ({}); starting without it, and it is written over at the next save. Look at its owner and its rights",
          file,
          e instanceof AccessDeniedException ? "this user may not" : e.getMessage());
      return Optional.empty();
    }
    try {
      return parse(all);
    } catch (UnreadableException | IOException e) {
      moveAside(String.valueOf(e.getMessage()).lines().findFirst().orElse(""));
      return Optional.empty();
    }
  }

  private Optional<Remembered<T>> parse(byte[] all) throws IOException, UnreadableException {
    int end = 0;
    while (end < all.length && all[end] != '\n') {
      end++;
    }
    JsonNode head = MAPPER.readTree(all, 0, end);
    Instant at;
    try {
      at = Instant.parse(head.path("at").asText());
    } catch (DateTimeException e) {
      throw new UnreadableException("its first line does not say when it was saved");
    }
    int length = all.length - end - 2; // the two line breaks
    if (length < 2
        || all[all.length - 1] != '\n'
        || !checksum(all, end + 1, length).equals(head.path("crc32c").asText())
        || !type.getSimpleName().equals(head.path("holds").asText())) {
      throw new UnreadableException("it is not whole, or has been changed");
    }
    boolean ours =
        head.path("format").asInt() == FORMAT && shape.equals(head.path("shape").asText());
    if (!ours && !lenient) {
      log.warn(
          "{} was written by another version of Opercle and does not fit this one: {}",
          file,
          whenOfAnotherVersion);
      return Optional.empty();
    }
    Form.Manner manner = ours ? Form.Manner.strict() : Form.Manner.lenient();
    Object read = form.read(MAPPER.readTree(all, end + 1, length), manner);
    if (!manner.leftOut.isEmpty()) {
      log.warn(
          "{} was written by another version of Opercle; {}: {}",
          file,
          whenOfAnotherVersion,
          manner.leftOut);
    }
    return Optional.of(new Remembered<>(at, type.cast(read)));
  }

  private void moveAside(String why) {
    wasDamaged = true;
    Path aside = sibling(".damaged");
    try {
      Files.move(file, aside, StandardCopyOption.REPLACE_EXISTING);
      log.warn("{} is damaged ({}); moved to {}, starting without it", file, why, aside);
    } catch (IOException e) {
      log.warn(
          "{} is damaged ({}) and cannot be moved aside ({}); starting without it",
          file,
          why,
          e.getMessage());
    }
  }

  private Path folder() {
    return Optional.ofNullable(file.toAbsolutePath().getParent()).orElse(Path.of("/"));
  }

  private Path sibling(String ending) {
    return folder().resolve(file.getFileName() + ending);
  }

  private interface Content {
    void write(JsonGenerator json) throws IOException;
  }

  private static byte[] json(Content content) throws IOException {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream(1 << 12);
    try (JsonGenerator json = JSON.createGenerator(bytes)) {
      content.write(json);
    }
    return bytes.toByteArray();
  }

  private static String checksum(byte[] bytes, int from, int length) {
    CRC32C crc = new CRC32C();
    crc.update(bytes, from, length);
    return HexFormat.of().toHexDigits((int) crc.getValue());
  }

  private static String fingerprint(String shape) {
    try {
      byte[] digest =
          MessageDigest.getInstance("SHA-256").digest(shape.getBytes(StandardCharsets.UTF_8));
      return HexFormat.of().formatHex(Arrays.copyOf(digest, 8));
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java has SHA-256", e);
    }
  }
}
