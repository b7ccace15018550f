// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.util.Optional;
import org.testcontainers.containers.GenericContainer;
import org.testcontainers.utility.DockerImageName;

class Influx18ContainerTest extends InfluxContainerContract {

  private static final String PASSWORD = "not-a-secret";

  @Override
  GenericContainer<?> image() {
    return new GenericContainer<>(DockerImageName.parse("influxdb:1.8.10"))
        .withEnv("INFLUXDB_HTTP_AUTH_ENABLED", "true")
        .withEnv("INFLUXDB_ADMIN_USER", "opercle")
        .withEnv("INFLUXDB_ADMIN_PASSWORD", PASSWORD)
        .withExposedPorts(port());
  }

  @Override
  void makeBucket(GenericContainer<?> running, String bucket) throws Exception {
    run(
        running,
        "influx",
        "-username",
        "opercle",
        "-password",
        PASSWORD,
        "-execute",
        "CREATE DATABASE " + bucket);
  }

  @Override
  Optional<String> token() {
    return Optional.of("opercle:" + PASSWORD);
  }

  @Override
  String org() {
    return "-";
  }

  @Override
  int port() {
    return 8086;
  }
}
