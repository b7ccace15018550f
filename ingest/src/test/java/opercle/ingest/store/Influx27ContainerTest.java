// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.util.Optional;
import org.testcontainers.containers.GenericContainer;
import org.testcontainers.containers.wait.strategy.Wait;
import org.testcontainers.utility.DockerImageName;

class Influx27ContainerTest extends InfluxContainerContract {

  private static final String TOKEN = "not-a-secret-token";

  @Override
  GenericContainer<?> image() {
    return new GenericContainer<>(DockerImageName.parse("influxdb:2.7.12"))
        .withEnv("DOCKER_INFLUXDB_INIT_MODE", "setup")
        .withEnv("DOCKER_INFLUXDB_INIT_USERNAME", "opercle")
        .withEnv("DOCKER_INFLUXDB_INIT_PASSWORD", "not-a-secret")
        .withEnv("DOCKER_INFLUXDB_INIT_ORG", org())
        .withEnv("DOCKER_INFLUXDB_INIT_BUCKET", "first")
        .withEnv("DOCKER_INFLUXDB_INIT_ADMIN_TOKEN", TOKEN)
        .withExposedPorts(port())
        .waitingFor(Wait.forHttp("/ping").forStatusCode(204));
  }

  @Override
  void makeBucket(GenericContainer<?> running, String bucket) throws Exception {
    run(running, "influx", "bucket", "create", "-n", bucket, "-o", org(), "-t", TOKEN);
  }

  @Override
  Optional<String> token() {
    return Optional.of(TOKEN);
  }

  @Override
  String org() {
    return "sallowmere";
  }

  @Override
  int port() {
    return 8086;
  }
}
