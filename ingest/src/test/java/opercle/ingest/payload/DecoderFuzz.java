// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import static java.nio.charset.StandardCharsets.ISO_8859_1;
import static java.nio.charset.StandardCharsets.UTF_8;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.dataformat.cbor.CBORFactory;
import java.io.UncheckedIOException;
import java.time.Duration;
import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/**
 * Mutates payloads that are understood, and gives them to the decoder: nothing may be thrown, take
 * long, or be believed that is not plausible. The same seed gives the same payloads.
 *
 * <p>As a program: how many payloads for each kind, 10,000,000 without; seed; the kind, all
 * without.
 */
final class DecoderFuzz {

  private static final Instant ARRIVED = Instant.parse("2026-03-14T02:11:07.250Z");
  private static final int LONGEST = 4096;
  private static final long MOST_GROWTH_BYTES = 20_000_000;
  private static final Duration SLOWEST = Duration.ofSeconds(30);

  private static final String SENML =
      """
      [{"bn":"h1/","bt":1773454267,"bu":"mg/l","n":"oxygen","v":8.5},
       {"n":"temperature","u":"Cel","v":12.25,"t":-5.5},{"n":"ph/2","u":"pH","v":7.1,"t":1e-3},
       {"n":"oxygen","u":"%","v":98,"s":3,"vs":"x","vb":true,"ut":60}]""";

  private static final String MAPPED =
      """
      {"ts":"2026-03-14T02:11:00Z","probe":{"do":[{"value":8.5,"unit":"mg/L"},8.25]},"n":null,"at":1773454267123}""";

  /** What has a meaning somewhere, to be put where it has none. */
  private static final List<String> TOKENS =
      List.of(
          "[",
          "]",
          "{",
          "}",
          ",",
          ":",
          "\"",
          "\\u0000",
          "\\",
          "null",
          "true",
          "NaN",
          "Infinity",
          "-0.0",
          "1e309",
          "-1e308",
          "1e-400",
          "9223372036854775808",
          "99999999999999999999999",
          "\"bn\":",
          "\"bt\":",
          "\"v\":",
          "\"u\":\"kg/m3\"",
          "\"t\":",
          "/",
          "//",
          "{1}",
          "\u0000",
          "\uFFFD",
          "\uD83D\uDC1F",
          " ",
          "\n",
          "\r",
          "\t",
          "+",
          "#",
          "0x10",
          "١٢",
          "8.5 mg/L",
          "2026-02-30T25:61:61Z",
          "+1000000000-12-31T23:59:59Z");

  /** The ways that a payload can be read. */
  enum Kind {
    NUMBER("tanks/h1/oxygen", List.of(bytes("8.25"), bytes("-0.5e1"), bytes(" 12 "))),
    SENML_JSON("tanks/h1/oxygen/2", List.of(bytes(SENML), bytes("[{\"v\":8.1}]"))),
    SENML_CBOR("tanks/h1/oxygen", List.of(cbor(SENML), cbor("[{\"v\":8.1}]"))),
    MAPPED_JSON("mapped/h1/x", List.of(bytes(MAPPED), bytes("{\"probe\":{\"do\":[3]}}"))),
    UNKNOWN_TOPIC("somebody/else", List.of(bytes(MAPPED), bytes(SENML), bytes("8.1")));

    private final String topic;

    @SuppressWarnings("ImmutableEnumChecker") // nobody writes into them
    private final List<byte[]> seeds;

    Kind(String topic, List<byte[]> seeds) {
      this.topic = topic;
      this.seeds = seeds;
    }
  }

  /**
   * What came of it.
   *
   * @param readings taken
   * @param rejected payloads or records not taken
   * @param slowest the longest that one payload took
   * @param heapGrowthBytes in use after collection at the end, more than after a tenth
   */
  record Outcome(long readings, long rejected, Duration slowest, long heapGrowthBytes) {}

  private final Kind kind;
  private final Random random;
  private final PayloadDecoder decoder =
      new PayloadDecoder(
          "h1"::equals,
          List.of(
              new TopicMapping(
                  "mapped/+/x",
                  "{1}",
                  Quantity.OXYGEN,
                  "1",
                  "/probe/do/0/value",
                  Optional.of("/ts"),
                  Optional.empty(),
                  Optional.of("/probe/do/0/unit"))));
  private final Rejections rejections = new Rejections();
  private final UnknownTopics unknown = new UnknownTopics();

  DecoderFuzz(Kind kind, long seed) {
    this.kind = kind;
    this.random = new Random(seed);
  }

  public static void main(String[] args) {
    long count = args.length > 0 ? Long.parseLong(args[0]) : 10_000_000L;
    long seed = args.length > 1 ? Long.parseLong(args[1]) : 1L;
    List<Kind> kinds = args.length > 2 ? List.of(Kind.valueOf(args[2])) : List.of(Kind.values());
    for (Kind kind : kinds) {
      long begun = System.nanoTime();
      Outcome outcome = new DecoderFuzz(kind, seed).run(count);
      System.out.printf(
          Locale.ROOT,
          "%s: %d payloads in %d s, %d readings taken, %d not taken, slowest %d ms, heap %+d kB%n",
          kind,
          count,
          TimeUnit.NANOSECONDS.toSeconds(System.nanoTime() - begun),
          outcome.readings(),
          outcome.rejected(),
          outcome.slowest().toMillis(),
          outcome.heapGrowthBytes() / 1024);
      // A leak of one object a payload would be far beyond; a busy machine's pause is not.
      if (outcome.heapGrowthBytes() > MOST_GROWTH_BYTES
          || outcome.slowest().compareTo(SLOWEST) > 0) {
        throw new AssertionError(kind + " grows, or hangs");
      }
    }
  }

  Outcome run(long count) {
    long readings = 0;
    long slowest = 0;
    long heapEarly = 0;
    for (long i = 0; i < count; i++) {
      if (i == count / 10) {
        heapEarly = heapInUse();
      }
      byte[] payload = mutated();
      long begun = System.nanoTime();
      try {
        readings += answered(payload);
      } catch (RuntimeException | StackOverflowError | OutOfMemoryError e) {
        throw new AssertionError(
            "%s number %d: \"%s\" throws".formatted(kind, i, new String(payload, ISO_8859_1)), e);
      }
      slowest = Math.max(slowest, System.nanoTime() - begun);
    }
    return new Outcome(
        readings, rejections.total(), Duration.ofNanos(slowest), heapInUse() - heapEarly);
  }

  private long answered(byte[] payload) {
    if (kind == Kind.UNKNOWN_TOPIC) {
      unknown.heard(kind.topic + random.nextInt(1_000), payload, ARRIVED);
    }
    Decoded decoded =
        random.nextInt(8) == 0
            ? decoder.decodeRetained(kind.topic, payload, ARRIVED)
            : decoder.decode(kind.topic, payload, ARRIVED);
    decoded.rejections().forEach(rejections::add);
    for (Reading reading : decoded.readings()) {
      if (!reading.quantity().isPlausible(reading.value())
          || !reading.time().isBefore(ARRIVED.plus(Duration.ofDays(1).plusSeconds(1)))) {
        throw new AssertionError("believed: " + reading);
      }
    }
    return decoded.readings().size();
  }

  private byte[] mutated() {
    byte[] payload = kind.seeds.get(random.nextInt(kind.seeds.size()));
    for (int times = 1 + random.nextInt(4); times > 0; times--) {
      payload = mutated(payload);
    }
    return payload.length <= LONGEST ? payload : Arrays.copyOf(payload, LONGEST);
  }

  private byte[] mutated(byte[] from) {
    if (from.length == 0) {
      return new byte[] {(byte) random.nextInt(256)};
    }
    int at = random.nextInt(from.length);
    byte[] to = from.clone();
    return switch (random.nextInt(8)) {
      case 0 -> {
        to[at] ^= (byte) (1 << random.nextInt(8));
        yield to;
      }
      case 1 -> {
        to[at] = (byte) random.nextInt(256);
        yield to;
      }
      case 2 -> Arrays.copyOf(from, at);
      case 3 -> spliced(from, at, new byte[0], Math.min(from.length, at + 1 + random.nextInt(8)));
      case 4 -> spliced(from, at, token(), at);
      case 5 -> spliced(from, at, token(), Math.min(from.length, at + 1 + random.nextInt(4)));
      case 6 -> { // a piece of it once more
        int end = Math.min(from.length, at + 1 + random.nextInt(64));
        yield spliced(from, at, Arrays.copyOfRange(from, at, end), at);
      }
      default -> { // two of a kind, end to end
        byte[] other = kind.seeds.get(random.nextInt(kind.seeds.size()));
        int cut = random.nextInt(other.length);
        yield spliced(from, at, Arrays.copyOfRange(other, cut, other.length), from.length);
      }
    };
  }

  private byte[] token() {
    return bytes(TOKENS.get(random.nextInt(TOKENS.size())));
  }

  private static byte[] spliced(byte[] from, int until, byte[] middle, int again) {
    byte[] to = new byte[until + middle.length + from.length - again];
    System.arraycopy(from, 0, to, 0, until);
    System.arraycopy(middle, 0, to, until, middle.length);
    System.arraycopy(from, again, to, until + middle.length, from.length - again);
    return to;
  }

  private static byte[] bytes(String text) {
    return text.getBytes(UTF_8);
  }

  private static byte[] cbor(String json) {
    try {
      Object tree = new ObjectMapper().readValue(json, Object.class);
      return new ObjectMapper(new CBORFactory()).writeValueAsBytes(tree);
    } catch (JsonProcessingException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static long heapInUse() {
    System.gc();
    Runtime runtime = Runtime.getRuntime();
    return runtime.totalMemory() - runtime.freeMemory();
  }
}
