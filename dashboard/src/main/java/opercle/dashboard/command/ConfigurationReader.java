// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import java.util.stream.Collectors;
import opercle.analysis.book.BookServer;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.dashboard.calling.CallingSettings;
import opercle.dashboard.calling.CallingSettingsReader;
import opercle.dashboard.command.Configuration.Mqtt;
import opercle.dashboard.command.SelfWatching.Outside;
import opercle.dashboard.web.DashboardSettings;
import opercle.ingest.payload.TopicMapping;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.settings.Problems;
import opercle.ingest.settings.Section;
import opercle.ingest.settings.UnusableInputException;
import opercle.ingest.settings.YamlFile;
import org.jspecify.annotations.Nullable;

/**
 * Reads {@code opercle.yaml} and the farm description that it names. Paths are relative to the
 * file.
 */
final class ConfigurationReader {

  private ConfigurationReader() {}

  /**
   * Reads the file and the farm.
   *
   * @throws UnusableInputException with all problems of both files
   */
  static Configuration read(Path file) {
    Problems problems = new Problems();
    Path folder = Optional.ofNullable(file.toAbsolutePath().getParent()).orElse(Path.of(""));
    Section top = YamlFile.parse(file.toString(), YamlFile.read(file), problems);

    String farmFile = top.text("farm");
    Farm farm = new Farm("", 0, List.of());
    if (!farmFile.isEmpty()) {
      Path farmPath = folder.resolve(farmFile);
      if (Files.exists(farmPath)) {
        farm = readFarm(farmPath, problems);
      } else {
        top.problem("farm", "there is no file " + farmFile + " beside this one");
      }
    }
    Path data = folder.resolve(top.optionalText("dataFolder").orElse("opercle-data"));
    StoreSettings store = StoreSettingsReader.read(top, folder);
    Optional<BookServer> bookServer = BookSettingsReader.read(top, folder);
    Mqtt mqtt =
        top.optionalSection("mqtt")
            .map(s -> mqtt(s, folder))
            .orElse(new Mqtt.Embedded(BrokerDoor.onLoopback(DEFAULT_MQTT_PORT)));
    List<TopicMapping> mappings =
        top.sections("mappings").stream().flatMap(m -> mapping(m).stream()).toList();
    Optional<Section> dashboard = top.optionalSection("dashboard");
    String host = dashboard.flatMap(s -> s.optionalText("host")).orElse(DashboardSettings.LOOPBACK);
    int port =
        dashboard.flatMap(s -> boxed(s.optionalWhole("port", "", 0, 65535))).orElse(DEFAULT_PORT);
    Door door = dashboard.map(s -> Door.read(s, folder)).orElse(Door.USUAL);
    Optional<URI> publicUrl =
        dashboard.flatMap(
            s ->
                s.optionalText("publicUrl")
                    .flatMap(text -> CallingSettingsReader.url(s, "publicUrl", text)));
    CallingSettings calling = new CallingSettingsReader(top, folder).read(publicUrl);
    dashboard.ifPresent(Section::finish);
    Optional<Outside> outside =
        top.optionalSection("heartbeat").flatMap(ConfigurationReader::outside);
    Apart apart = ApartReader.read(top, farm, mappings, store);
    top.finish();
    problems.throwIfAny();
    return new Configuration(
        file.toString(),
        farm,
        farmFile,
        data,
        store,
        bookServer,
        mqtt,
        mappings,
        host,
        port,
        door,
        outside,
        apart,
        calling);
  }

  static final int DEFAULT_MQTT_PORT = 1883;
  static final int DEFAULT_PORT = 8080;

  private static Farm readFarm(Path path, Problems problems) {
    try {
      return FarmReader.read(path);
    } catch (UnusableInputException e) {
      e.problems().forEach(problems::add);
      return new Farm("", 0, List.of());
    }
  }

  private static Mqtt mqtt(Section s, Path folder) {
    Mqtt mqtt;
    if (s.has("broker")) {
      mqtt =
          new Mqtt.Existing(
              brokerAddress(s),
              s.optionalText("user"),
              password(s, folder),
              caFile(s, folder),
              s.optionalText("clientId").orElse("opercle"));
      if (s.has("passwordFile") && !s.has("user")) {
        s.problem("passwordFile", "needs a user to go with it");
      }
      BrokerDoor.refuseBeside(s);
    } else {
      mqtt = new Mqtt.Embedded(BrokerDoor.read(s, folder));
    }
    s.finish();
    return mqtt;
  }

  private static URI brokerAddress(Section s) {
    String text = s.text("broker");
    URI uri = parseUri(text);
    boolean good =
        uri != null
            && ("tcp".equals(uri.getScheme()) || "ssl".equals(uri.getScheme()))
            && uri.getHost() != null
            && uri.getPort() > 0
            && uri.getPort() <= 65535;
    if (!good) {
      s.problem(
          "broker",
          "\"%s\" must be an address such as tcp://localhost:1883, or ssl://… for TLS"
              .formatted(text));
      return URI.create("tcp://localhost:1883");
    }
    if (Objects.requireNonNull(uri).getRawUserInfo() != null) {
      s.problem("broker", "must not hold a user or a password; use the keys user and passwordFile");
      return URI.create("tcp://localhost:1883");
    }
    return uri;
  }

  static Optional<Path> caFile(Section s, Path folder) {
    Optional<String> file = s.optionalText("caFile");
    if (file.isPresent() && !Files.isReadable(folder.resolve(file.get()))) {
      s.problem("caFile", "there is no file %s that can be read".formatted(file.get()));
    }
    return file.map(folder::resolve);
  }

  private static @Nullable URI parseUri(String text) {
    try {
      return URI.create(text);
    } catch (IllegalArgumentException e) {
      return null;
    }
  }

  // The password stands in a file of its own, so that the configuration can be shown to others.
  static Optional<String> password(Section s, Path folder) {
    Optional<String> file = s.optionalText("passwordFile");
    if (file.isEmpty()) {
      return Optional.empty();
    }
    try {
      return Optional.of(YamlFile.read(folder.resolve(file.get())).strip());
    } catch (UnusableInputException e) {
      s.problem("passwordFile", e.problems().get(0).message() + ": " + file.get());
      return Optional.empty();
    }
  }

  private static Optional<Outside> outside(Section s) {
    String text = s.text("url");
    int every = s.optionalWhole("everySeconds", "s", 10, 3600).orElse(60);
    @Nullable URI url = parseUri(text);
    boolean good =
        url != null
            && ("http".equals(url.getScheme()) || "https".equals(url.getScheme()))
            && url.getHost() != null;
    if (!good && s.has("url")) {
      s.problem(
          "url", "\"%s\" must be an address that begins with https:// or http://".formatted(text));
    }
    s.finish();
    return good
        ? Optional.of(new Outside(Objects.requireNonNull(url), Duration.ofSeconds(every)))
        : Optional.empty();
  }

  private static Optional<TopicMapping> mapping(Section s) {
    Map<String, Quantity> quantities =
        Arrays.stream(Quantity.values())
            .collect(Collectors.toMap(Quantity::id, q -> q, (a, b) -> a, LinkedHashMap::new));
    String topic = s.text("topic");
    String tank = s.text("tank");
    Quantity quantity = s.choice("quantity", quantities);
    String probe = s.optionalText("probe").orElse(Reading.DEFAULT_PROBE);
    String value = s.optionalText("value").orElse("");
    Optional<String> time = s.optionalText("time");
    Optional<String> unit = s.optionalText("unit");
    Optional<String> unitAt = s.optionalText("unitAt");
    s.finish();
    if (topic.isEmpty() || tank.isEmpty()) {
      return Optional.empty(); // said already
    }
    try {
      return Optional.of(new TopicMapping(topic, tank, quantity, probe, value, time, unit, unitAt));
    } catch (IllegalArgumentException e) {
      mappingProblem(s, String.valueOf(e.getMessage()));
      return Optional.empty();
    }
  }

  /** The message begins with the field that it is about, where it is not the topic. */
  private static void mappingProblem(Section s, String message) {
    int colon = message.indexOf(": ");
    String field = colon < 0 ? "" : message.substring(0, colon);
    String key = field.equals("unit") && !s.has("unit") ? "unitAt" : field;
    if (MAPPING_FIELDS.contains(field)) {
      s.problem(key, message.substring(colon + 2));
    } else {
      s.problem("topic", message);
    }
  }

  private static final Set<String> MAPPING_FIELDS =
      Set.of("tank", "probe", "value", "time", "unit");

  private static Optional<Integer> boxed(OptionalInt value) {
    return value.isPresent() ? Optional.of(value.getAsInt()) : Optional.empty();
  }
}
