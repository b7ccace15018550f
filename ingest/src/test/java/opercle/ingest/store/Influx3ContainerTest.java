// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.util.Optional;
import org.testcontainers.containers.GenericContainer;
import org.testcontainers.utility.DockerImageName;

/** 3 Core, which has five databases at most: those of earlier tests go first. */
class Influx3ContainerTest extends InfluxContainerContract {

  @Override
  GenericContainer<?> image() {
    return new GenericContainer<>(DockerImageName.parse("influxdb:3-core"))
        .withCommand(
            "influxdb3", "serve", "--node-id=opercle", "--object-store=memory", "--without-auth")
        .withExposedPorts(port());
  }

  @Override
  void makeBucket(GenericContainer<?> running, String bucket) throws Exception {
    deleteOthers(running);
    run(running, "influxdb3", "create", "database", bucket);
  }

  private static void deleteOthers(GenericContainer<?> running) throws Exception {
    String listed =
        running.execInContainer("influxdb3", "show", "databases", "--format", "csv").getStdout();
    for (String name : listed.lines().map(String::strip).toList()) {
      if (name.matches("b[0-9a-f]{32}")) {
        run(running, "sh", "-c", "yes yes | influxdb3 delete database " + name);
      }
    }
  }

  @Override
  Optional<String> token() {
    return Optional.empty();
  }

  @Override
  String org() {
    return "-";
  }

  @Override
  int port() {
    return 8181;
  }
}
