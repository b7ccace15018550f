// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import opercle.dashboard.access.DevicePasswords;
import opercle.dashboard.web.DashboardSettings;
import opercle.dashboard.web.TlsFiles;
import opercle.ingest.mqtt.BrokerClient;
import opercle.ingest.mqtt.BrokerSettings;
import opercle.ingest.mqtt.EmbeddedBroker;
import opercle.ingest.settings.Section;

/**
 * Where the embedded broker listens, and to whom.
 *
 * @param host its address
 * @param port its port
 * @param clients who may use it, and what; empty: everybody on this machine, everything
 * @param tls its certificate, if it has one
 */
record BrokerDoor(String host, int port, List<BrokerClient> clients, Optional<TlsFiles> tls) {

  private static final List<String> KEYS = List.of("port", "host", "tls", "clients");

  /** For everybody on this machine. */
  static BrokerDoor onLoopback(int port) {
    return new BrokerDoor(EmbeddedBroker.LOOPBACK, port, List.of(), Optional.empty());
  }

  /** Reads it from the part {@code mqtt}, which tells what is wrong. */
  static BrokerDoor read(Section s, Path folder) {
    int port = s.optionalWhole("port", "", 0, 65535).orElse(ConfigurationReader.DEFAULT_MQTT_PORT);
    String host = s.optionalText("host").orElse(EmbeddedBroker.LOOPBACK);
    Optional<TlsFiles> tls = s.optionalSection("tls").flatMap(t -> Door.tls(t, folder));
    List<Section> described = s.sections("clients");
    List<BrokerClient> clients = clients(described);
    if (!DashboardSettings.isLoopback(host) && described.isEmpty()) {
      s.problem(
          "host",
          "\"%s\" can be reached from other machines, and nobody is named who may use the broker; name each under clients"
              .formatted(host));
    }
    if (s.has("tls") && described.isEmpty()) {
      s.problem("tls", "goes with clients: without them only this machine can reach the broker");
    }
    return new BrokerDoor(host, port, clients, tls);
  }

  /** Says of keys of the embedded broker that they do not go with a broker that runs already. */
  static void refuseBeside(Section s) {
    for (String key : KEYS) {
      if (s.has(key)) {
        s.problem(
            key,
            key.equals("port")
                ? "goes with the embedded broker only; write the port into broker"
                : "goes with the embedded broker only; set it at the broker that you have");
      }
    }
  }

  private static List<BrokerClient> clients(List<Section> described) {
    List<BrokerClient> clients = new ArrayList<>();
    Set<String> names = new HashSet<>();
    for (Section s : described) {
      client(s).ifPresent(clients::add);
      String name = s.optionalText("name").orElse("");
      if (!name.isEmpty() && !names.add(name)) {
        s.problem("name", "\"%s\" is named twice".formatted(name));
      }
    }
    return clients;
  }

  private static Optional<BrokerClient> client(Section s) {
    String name = s.text("name");
    String hash = s.text("passwordHash");
    List<String> sends = filters(s, "sends");
    List<String> reads = filters(s, "reads");
    s.finish();
    if (!hash.isEmpty() && !DevicePasswords.isHash(hash)) {
      s.problem(
          "passwordHash",
          "is not the hash of a password; make one: opercle mqtt-password "
              + (name.isEmpty() ? "NAME" : name));
    }
    if (name.isEmpty() || hash.isEmpty()) {
      return Optional.empty(); // said already
    }
    try {
      return Optional.of(new BrokerClient(name, hash, sends, reads));
    } catch (IllegalArgumentException e) {
      String message = String.valueOf(e.getMessage());
      int colon = message.indexOf(": ");
      s.problem(message.substring(0, colon), message.substring(colon + 2));
      return Optional.empty();
    }
  }

  private static List<String> filters(Section s, String key) {
    return s.optionalText(key).stream()
        .flatMap(text -> Arrays.stream(text.split("[,\\s]+")))
        .filter(filter -> !filter.isEmpty())
        .toList();
  }

  /** Where probes find it. */
  String address(int actualPort) {
    return (tls.isPresent() ? "ssl" : "tcp") + "://" + host + ":" + actualPort;
  }

  /** For the broker, with its files in the folder. */
  BrokerSettings settings(Path folder) {
    Optional<BrokerSettings.Door> door =
        clients.isEmpty()
            ? Optional.empty()
            : Optional.of(
                new BrokerSettings.Door(
                    clients, new DevicePasswords()::matches, tls.map(files -> files::read)));
    return new BrokerSettings(folder, host, port, Set.of(), door);
  }
}
