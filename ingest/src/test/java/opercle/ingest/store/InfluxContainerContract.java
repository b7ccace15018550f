// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import static org.junit.jupiter.api.Assertions.fail;
import static org.junit.jupiter.api.Assumptions.abort;

import java.net.URI;
import java.nio.file.Path;
import java.util.Optional;
import java.util.UUID;
import opercle.ingest.store.InfluxSettings.Place;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.io.TempDir;
import org.testcontainers.DockerClientFactory;
import org.testcontainers.containers.GenericContainer;

/**
 * The contract with an image of InfluxDB, where a Docker engine runs. Each test has a bucket of its
 * own, as an empty one.
 */
abstract class InfluxContainerContract extends ReadingStoreContract {

  @SuppressWarnings("NullAway.Init") // by the first test
  private static GenericContainer<?> container;

  @TempDir Path folder;

  /** The image with its ports and what it needs to start. */
  abstract GenericContainer<?> image();

  /** Makes a bucket. */
  abstract void makeBucket(GenericContainer<?> running, String bucket) throws Exception;

  /** What to authenticate with; empty: nothing. */
  abstract Optional<String> token();

  /** The organisation; any word where there is none. */
  abstract String org();

  abstract int port();

  @Override
  protected ReadingStore emptyStore() throws Exception {
    if (!DockerClientFactory.instance().isDockerAvailable()) {
      String reason = "no Docker engine answers";
      if ("1".equals(System.getenv("OPERCLE_REQUIRE_CONTAINERS"))) {
        fail(reason + ", and OPERCLE_REQUIRE_CONTAINERS=1");
      }
      abort(reason);
    }
    if (container == null) {
      container = image();
      container.start();
    }
    String bucket = "b" + UUID.randomUUID().toString().replace("-", "");
    makeBucket(container, bucket);
    Place place = Place.of(bucket, bucket);
    URI url = URI.create("http://" + container.getHost() + ":" + container.getMappedPort(port()));
    return ThroughSpool.open(
        new InfluxSettings(url, org(), place, place, token(), Optional.empty()),
        folder.resolve("spool.db"));
  }

  /** Runs a command in the container; what it says is the failure's reason. */
  static void run(GenericContainer<?> running, String... command) throws Exception {
    var result = running.execInContainer(command);
    if (result.getExitCode() != 0) {
      fail(String.join(" ", command) + ": " + result.getStdout() + result.getStderr());
    }
  }

  @AfterAll
  @SuppressWarnings("NullAway")
  static void stop() {
    if (container != null) {
      container.stop();
      container = null;
    }
  }
}
