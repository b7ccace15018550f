// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static org.junit.jupiter.api.Assertions.fail;
import static org.junit.jupiter.api.Assumptions.abort;

import java.net.URI;
import java.nio.file.Path;
import org.testcontainers.DockerClientFactory;
import org.testcontainers.containers.GenericContainer;
import org.testcontainers.utility.DockerImageName;

/** With the Mosquitto image, where a Docker engine runs. */
class ContainerContractTest extends BrokerContract {

  private static final int PORT = 1883;

  @Override
  TestBroker startBroker(Path folder) {
    if (!DockerClientFactory.instance().isDockerAvailable()) {
      String reason = "no Docker engine answers";
      if ("1".equals(System.getenv("OPERCLE_REQUIRE_CONTAINERS"))) {
        fail(reason + ", and OPERCLE_REQUIRE_CONTAINERS=1");
      }
      abort(reason);
    }
    return new Container();
  }

  private static final class Container implements TestBroker {
    private final GenericContainer<?> mosquitto =
        new GenericContainer<>(DockerImageName.parse("eclipse-mosquitto:2.0.22"))
            .withExposedPorts(PORT)
            .withCommand("mosquitto", "-c", "/mosquitto-no-auth.conf");

    Container() {
      mosquitto.start();
    }

    @Override
    public URI uri() {
      return URI.create(
          "tcp://%s:%d".formatted(mosquitto.getHost(), mosquitto.getMappedPort(PORT)));
    }

    @Override
    public void kill() {
      throw new UnsupportedOperationException("a container comes back on another port");
    }

    @Override
    public void restart() {
      throw new UnsupportedOperationException("a container comes back on another port");
    }

    @Override
    public void close() {
      mosquitto.stop();
    }
  }
}
