// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashSet;
import java.util.Optional;
import java.util.Set;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * By what an {@code ingest} is known at the broker, noted beside its readings: what was left there
 * under another name, or in another share, can be set right at the next start.
 *
 * @param clientId the first part of its client ids
 * @param shares every share that it has had under that id
 */
record IngestSession(String clientId, Set<String> shares) {

  private static final Logger log = LoggerFactory.getLogger(IngestSession.class);
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final String FILE = "ingest-session.json";

  IngestSession {
    shares = Set.copyOf(shares);
  }

  /** What was noted in the folder; empty if nothing was, or nothing that can be read. */
  static Optional<IngestSession> noted(Path dataFolder) {
    Path file = dataFolder.resolve(FILE);
    if (!Files.isRegularFile(file)) {
      return Optional.empty();
    }
    try {
      JsonNode json = JSON.readTree(Files.readAllBytes(file));
      Set<String> shares = new LinkedHashSet<>();
      json.path("shares").forEach(share -> shares.add(share.asText()));
      String clientId = json.path("clientId").asText();
      if (!clientId.isEmpty()) {
        return Optional.of(new IngestSession(clientId, shares));
      }
      sayLost(file, "it names no clientId");
    } catch (IOException e) {
      sayLost(file, String.valueOf(e.getMessage()));
    }
    return Optional.empty();
  }

  private static void sayLost(Path file, String why) {
    log.error(
        "{} cannot be used and is written anew: {}. If mqtt.clientId or ingest.share has been changed since the last run, what the broker holds under the old one comes to nobody",
        file,
        why);
  }

  /** One that starts now, after one that was noted. */
  static IngestSession now(
      String clientId, Optional<String> share, Optional<IngestSession> before) {
    Set<String> shares = new LinkedHashSet<>();
    before.filter(b -> b.clientId().equals(clientId)).ifPresent(b -> shares.addAll(b.shares()));
    share.ifPresent(shares::add);
    return new IngestSession(clientId, shares);
  }

  /** By what it was known, where that was another name. */
  Optional<String> formerName(Optional<IngestSession> before) {
    return before.map(IngestSession::clientId).filter(id -> !id.equals(clientId));
  }

  /** Notes it, for the next start; where that fails the log says so, and nothing else is amiss. */
  void note(Path dataFolder) {
    ObjectNode json = JsonNodeFactory.instance.objectNode().put("clientId", clientId);
    ArrayNode list = json.putArray("shares");
    shares.stream().sorted().forEach(list::add);
    try {
      WholeFile.write(dataFolder.resolve(FILE), Services.bytes(json + "\n"));
    } catch (IOException e) {
      log.warn("by what the broker knows us could not be noted: {}", e.getMessage());
    }
  }
}
