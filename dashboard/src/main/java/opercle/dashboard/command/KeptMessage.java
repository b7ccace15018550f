// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Optional;
import java.util.function.Function;
import opercle.dashboard.monitor.KeptLeg;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The last message of a topic that could be used, kept in the data folder for the next start: the
 * broker may hold readings that only whoever knows it can take. For one thread at a time.
 */
final class KeptMessage {

  private static final Logger log = LoggerFactory.getLogger(KeptMessage.class);

  private final Path file;
  private final String what;
  private final String whenUnread;
  private final String id;

  private volatile boolean wasDamaged;
  private volatile boolean isKeptSince;

  /** What the file holds for certain; empty while that is not known, as after a failure. */
  private byte[] inFile = new byte[0];

  /**
   * @param topic two of which have two files, however alike they are in letters and digits
   * @param what it says, as the log names it: "which topics feed which tank"
   * @param whenUnread what people are told where it is there and cannot be used: a sentence that
   *     holds wherever it is read, as pages of other machines show it
   */
  KeptMessage(Path dataFolder, String topic, String what, String whenUnread) {
    String plain = topic.replaceAll("[^A-Za-z0-9]+", "-");
    this.file = dataFolder.resolve("%s-%08x.json".formatted(plain, topic.hashCode()));
    this.what = what;
    this.whenUnread = whenUnread;
    this.id = "%08x".formatted(topic.hashCode());
  }

  /**
   * What was kept; empty if nothing was, or nothing that can be used, which is logged.
   *
   * @param reader empty where a message cannot be used
   */
  <T> Optional<T> read(Function<byte[], Optional<T>> reader) {
    if (!Files.exists(file)) {
      return Optional.empty();
    }
    try {
      byte[] payload = Files.readAllBytes(file);
      Optional<T> kept = payload.length == 0 ? Optional.empty() : reader.apply(payload);
      if (kept.isPresent()) {
        inFile = payload;
      } else {
        sayLost("it is %s".formatted(payload.length == 0 ? "empty" : "damaged"));
      }
      return kept;
    } catch (IOException e) {
      sayLost(String.valueOf(e.getMessage()));
      return Optional.empty();
    }
  }

  /** Whether it was there and could not be used; empty if not. */
  Optional<KeptLeg.Damage> damage() {
    return wasDamaged
        ? Optional.of(new KeptLeg.Damage(id, whenUnread, isKeptSince))
        : Optional.empty();
  }

  private void sayLost(String why) {
    wasDamaged = true;
    log.error(
        "{} cannot be used: {}. So {} is not known until the watch tells it; readings that need it wait for that some seconds and are then turned away",
        file,
        why,
        what);
  }

  /** Keeps a message; where that fails it is logged, and tried again with the next one. */
  void keep(byte[] payload) {
    if (Arrays.equals(payload, inFile)) {
      return;
    }
    try {
      WholeFile.write(file, payload);
      inFile = payload.clone();
      isKeptSince = true;
    } catch (IOException e) {
      inFile = new byte[0];
      log.warn(
          "{} could not be kept in {}, and is kept when the watch tells it again: {}",
          what,
          file,
          e.getMessage());
    }
  }
}
