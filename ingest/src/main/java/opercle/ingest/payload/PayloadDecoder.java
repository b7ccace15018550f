// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Predicate;
import java.util.stream.Stream;
import opercle.ingest.reading.Rejection.Reason;
import org.jspecify.annotations.Nullable;

/**
 * Turns the bytes of one MQTT message into readings in canonical units, or into worded rejections.
 *
 * <p>Topics {@code tanks/{tank}/{quantity}} and {@code tanks/{tank}/{quantity}/{probe}} carry a
 * bare number in the canonical unit, SenML JSON or SenML CBOR (RFC 8428); {@code tanks/{tank}}
 * carries a SenML pack that names its quantities. How names in a pack are read is in {@code
 * TopicPlace}. Where a {@link TopicMapping} matches the topic, the message is read by the mappings
 * and by nothing else.
 *
 * <p>No bytes whatever make it throw. The time of arrival is an argument; only times are judged by
 * it. Safe for many threads, if the predicate is.
 */
public final class PayloadDecoder {

  /** No probe sends more than this in one message: 64 KiB. */
  public static final int LARGEST_BYTES = 64 * 1024;

  private static final String OWN_TOPICS = "tanks/#";
  private static final int MOST_ROUTES_KEPT = 10_000;

  private final Predicate<String> knownTank;
  private final List<TopicMapping> settings;
  private volatile Rules rules;

  /** What is to be done with the messages of one topic. */
  private record Route(Optional<TopicPlace> own, List<Mapped> mapped) {}

  private record Mapped(MappedJson mapping, Place place) {}

  /**
   * The mappings in force, and the way of each topic by them.
   *
   * @param routes of topics heard before
   * @param asked of topics that were only asked after; apart, so that strangers crowd out no probe
   */
  private record Rules(
      List<MappedJson> mappings,
      List<String> filters,
      Map<String, Route> routes,
      Map<String, Route> asked) {

    static Rules of(List<TopicMapping> mappings) {
      List<String> filters =
          Stream.concat(
                  Stream.of(OWN_TOPICS),
                  mappings.stream()
                      .map(TopicMapping::topicFilter)
                      .filter(f -> !f.startsWith("tanks/")))
              .distinct()
              .toList();
      return new Rules(
          mappings.stream().map(MappedJson::new).toList(),
          filters,
          new ConcurrentHashMap<>(),
          new ConcurrentHashMap<>());
    }

    Route made(String topic) {
      List<Mapped> mapped = new ArrayList<>();
      for (MappedJson mapping : mappings) {
        mapping.place(topic).ifPresent(place -> mapped.add(new Mapped(mapping, place)));
      }
      return new Route(TopicPlace.of(topic), List.copyOf(mapped));
    }
  }

  /**
   * @param knownTank whether the farm has a tank of that id; asked for every reading, so that a new
   *     tank counts at once
   * @param mappings for devices with topics and JSON of their own; tried in order, all that match
   *     are used
   */
  public PayloadDecoder(Predicate<String> knownTank, List<TopicMapping> mappings) {
    this.knownTank = knownTank;
    this.settings = List.copyOf(mappings);
    this.rules = Rules.of(settings);
  }

  /**
   * From now on takes these mappings beside those of the settings, and none that was assigned
   * before. The topics of {@link #topicFilters()} may be others after it.
   */
  public void assign(List<TopicMapping> assigned) {
    rules = Rules.of(Stream.concat(settings.stream(), assigned.stream()).toList());
  }

  /** Whether messages of the topic belong to a tank of the farm, whatever they hold. */
  public boolean claims(String topic) {
    Route route = asked(topic);
    return route.mapped().isEmpty()
        ? route.own().filter(own -> knownTank.test(own.tank())).isPresent()
        : route.mapped().stream().anyMatch(m -> knownTank.test(m.place().tank()));
  }

  /**
   * What to subscribe to. Filters that lie within our own topics are left out, as some brokers send
   * a message once for each subscription that it matches.
   */
  public List<String> topicFilters() {
    return rules.filters();
  }

  /** Decodes a message that was published just now. */
  public Decoded decode(String topic, byte[] payload, Instant arrived) {
    return decode(topic, payload, arrived, false);
  }

  /**
   * Decodes a message that the broker had kept for new subscribers. It may be hours old, so only
   * readings with a time of their own are taken from it.
   */
  public Decoded decodeRetained(String topic, byte[] payload, Instant arrived) {
    return decode(topic, payload, arrived, true);
  }

  private Decoded decode(String topic, byte[] payload, Instant arrived, boolean retained) {
    Intake intake = new Intake(topic, arrived, retained, knownTank);
    Route route = route(topic);
    if (payload.length > LARGEST_BYTES) {
      intake.reject(
          Reason.TOO_LARGE,
          "the message has %d bytes; the most that is taken is %d",
          payload.length,
          LARGEST_BYTES);
    } else if (!route.mapped().isEmpty()) {
      readMapped(payload, route.mapped(), intake);
    } else if (route.own().isPresent()) {
      readOwn(payload, route.own().get(), intake);
    } else {
      intake.reject(
          Reason.UNKNOWN_TOPIC,
          "the topic is not tanks/{tank}/{quantity} or tanks/{tank}/{quantity}/{probe}, and no"
              + " mapping in the settings matches it");
    }
    return intake.decoded();
  }

  private Route route(String topic) {
    Rules now = rules;
    return kept(topic, now, now.routes());
  }

  private Route asked(String topic) {
    Rules now = rules;
    @Nullable Route heard = now.routes().get(topic);
    return heard == null ? kept(topic, now, now.asked()) : heard;
  }

  private static Route kept(String topic, Rules rules, Map<String, Route> routes) {
    @Nullable Route known = routes.get(topic);
    if (known != null) {
      return known;
    }
    Route made = rules.made(topic);
    if (routes.size() < MOST_ROUTES_KEPT) { // strangers may make up topics without end
      routes.put(topic, made);
    }
    return made;
  }

  private static void readMapped(byte[] payload, List<Mapped> mapped, Intake intake) {
    Optional<String> text = text(payload, intake);
    if (text.isEmpty()) {
      return;
    }
    try {
      JsonNode message = Trees.json(text.get());
      for (Mapped m : mapped) {
        m.mapping().read(message, m.place(), intake);
      }
    } catch (Trees.UnreadableException e) {
      intake.reject(Reason.MALFORMED, "%s", e.shown());
    }
  }

  private static void readOwn(byte[] payload, TopicPlace topic, Intake intake) {
    try {
      if (payload.length > 0 && startsCborArray(payload)) {
        SenmlPack.read(Trees.cbor(payload), topic, intake);
        return;
      }
      Optional<String> text = text(payload, intake);
      if (text.isEmpty()) {
        return;
      }
      char first = text.get().charAt(0);
      if (first == '[' || first == '{') {
        SenmlPack.read(Trees.json(text.get()), topic, intake);
      } else {
        readNumber(text.get(), topic, intake);
      }
    } catch (Trees.UnreadableException e) {
      intake.reject(Reason.MALFORMED, "%s", e.shown());
    }
  }

  private static void readNumber(String text, TopicPlace topic, Intake intake) {
    OptionalDouble number = PlainNumber.parse(text);
    Optional<Place> place = topic.place();
    if (place.isEmpty()) {
      intake.reject(
          Reason.UNKNOWN_TOPIC,
          "a bare number on tanks/{tank} does not say what it measures; publish it on"
              + " tanks/{tank}/{quantity}");
    } else if (number.isPresent()) {
      intake.takeAtArrival("", place.get(), number.getAsDouble(), Optional.empty(), Duration.ZERO);
    } else if (PlainNumber.isNotFinite(text)) {
      intake.reject(
          Reason.NOT_A_NUMBER,
          "%s is \"%s\"; it must be a finite number of %s",
          place.get().quantity().id(),
          Names.shown(text),
          place.get().quantity().unit());
    } else {
      String hint =
          PlainNumber.parse(text.replace(',', '.')).isPresent()
              ? "; write the decimal sign as a dot"
              : "";
      intake.reject(
          Reason.MALFORMED,
          "%s is \"%s\"; it must be a number of %s, or a list of readings (RFC 8428)%s",
          place.get().quantity().id(),
          Names.shown(text),
          place.get().quantity().unit(),
          hint);
    }
  }

  /** An array's first byte, or the tag that says "this is CBOR": neither can start UTF-8 text. */
  private static boolean startsCborArray(byte[] payload) {
    int first = payload[0] & 0xff;
    return (first >= 0x80 && first <= 0x9f) || isSelfDescribed(payload);
  }

  private static boolean isSelfDescribed(byte[] payload) {
    return payload.length > 3
        && payload[0] == (byte) 0xd9
        && payload[1] == (byte) 0xd9
        && payload[2] == (byte) 0xf7;
  }

  /** The message as text without surrounding white space; rejects what is empty or not UTF-8. */
  private static Optional<String> text(byte[] payload, Intake intake) {
    String text;
    try {
      text = StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(payload)).toString();
    } catch (CharacterCodingException e) {
      intake.reject(
          Reason.NOT_TEXT, "the message is neither text in UTF-8 nor readings in CBOR (RFC 8428)");
      return Optional.empty();
    }
    text = text.strip();
    if (text.isEmpty()) {
      intake.reject(Reason.EMPTY, "the message is empty");
      return Optional.empty();
    }
    return Optional.of(text);
  }
}
