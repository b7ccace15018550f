// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.time.Instant;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.farm.FarmWriter;
import opercle.ingest.settings.UnusableInputException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The farm over MQTT, between services that run apart.
 *
 * <pre>
 *  opercle/{farm}/farm          retained: {"version":7,"time":"…","by":"name","what":["…"],"yaml":"farm: …"}
 *  opercle/{farm}/farm/change   {"id":"…","by":"name","basedOn":7,"yaml":"farm: …",
 *                                "putIn":{"tank":"h1","since":"…"}}
 * </pre>
 *
 * <p>What became of a change is told under its id, as with acts at a tank. Pure; for any thread.
 */
public final class FarmMessages {

  private static final Logger log = LoggerFactory.getLogger(FarmMessages.class);
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final int LONGEST_NAME = 60;

  private FarmMessages() {}

  /**
   * What somebody asks for.
   *
   * @param basedOn the version that they have seen
   * @param by who
   * @param farm the whole farm as it is to be
   * @param putIn since when the fish are in a tank that it puts there; empty where it puts none in,
   *     or nobody said
   */
  public record Change(long basedOn, String by, Farm farm, Optional<FarmDoor.PutIn> putIn) {}

  /** The version in force. */
  public static String version(FarmVersion version) {
    ObjectNode json = JsonNodeFactory.instance.objectNode();
    json.put("version", version.number());
    json.put("time", version.time().toString());
    json.put("by", version.by());
    version.what().forEach(json.putArray("what")::add);
    json.put("yaml", FarmWriter.write(version.farm()));
    return json.toString();
  }

  /** The version in a message; empty, and logged, if it holds none. */
  public static Optional<FarmVersion> version(byte[] payload) {
    try {
      JsonNode json = JSON.readTree(payload);
      List<String> what = new ArrayList<>();
      json.path("what").forEach(sentence -> what.add(sentence.asText()));
      return Optional.of(
          new FarmVersion(
              json.path("version").asLong(),
              FarmReader.inForce("the farm that the watch tells", json.path("yaml").asText("")),
              Instant.parse(json.path("time").asText("")),
              json.path("by").asText(""),
              what));
    } catch (IOException | DateTimeParseException | UnusableInputException e) {
      log.warn("the farm that the watch tells cannot be read: {}", e.getMessage());
      return Optional.empty();
    }
  }

  /** What to ask for; what becomes of it is told under that id. */
  public static String change(Change change, String id) {
    ObjectNode json = JsonNodeFactory.instance.objectNode();
    json.put("id", id);
    json.put("by", change.by());
    json.put("basedOn", change.basedOn());
    json.put("yaml", FarmWriter.write(change.farm()));
    change
        .putIn()
        .ifPresent(
            fish ->
                json.putObject("putIn")
                    .put("tank", fish.tank())
                    .put("since", fish.since().toString()));
    return json.toString();
  }

  /**
   * What a message asks for.
   *
   * @throws UnusableInputException if the farm in it cannot be used, with all that is wrong
   * @throws IllegalArgumentException if it is no such message, with the reason in words
   */
  public static Change change(byte[] payload) {
    JsonNode json;
    try {
      json = JSON.readTree(payload);
    } catch (IOException e) {
      throw new IllegalArgumentException("it is not well-formed JSON", e);
    }
    String by = json.path("by").asText("").strip();
    if (by.isEmpty() || by.length() > LONGEST_NAME) {
      throw new IllegalArgumentException(
          "\"by\" must name somebody in at most %d letters".formatted(LONGEST_NAME));
    }
    if (!json.path("basedOn").isIntegralNumber()) {
      throw new IllegalArgumentException("\"basedOn\" must be the version that it changes");
    }
    Farm farm = FarmReader.parse("farm", json.path("yaml").asText(""));
    return new Change(json.path("basedOn").asLong(), by, farm, putIn(json.path("putIn"), farm));
  }

  private static Optional<FarmDoor.PutIn> putIn(JsonNode fish, Farm farm) {
    if (fish.isMissingNode() || fish.isNull()) {
      return Optional.empty();
    }
    String tank = fish.path("tank").asText("");
    if (farm.tank(tank).isEmpty()) {
      throw new IllegalArgumentException("\"putIn\" must name a tank of the farm");
    }
    try {
      return Optional.of(new FarmDoor.PutIn(tank, Instant.parse(fish.path("since").asText(""))));
    } catch (DateTimeParseException e) {
      throw new IllegalArgumentException("\"putIn\" must say a time under \"since\"", e);
    }
  }
}
