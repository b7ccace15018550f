// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.io.IOException;
import java.net.URI;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Set;
import java.util.concurrent.CountDownLatch;
import opercle.ingest.ChildJvm;

/** The embedded broker in a JVM of its own, so that it can be killed outright. */
final class EmbeddedBrokerProcess implements TestBroker {

  /** The client id of the one session that publishers wait for; the others lose nothing either. */
  static final String KEPT_WHOLE = "opercle-serve";

  private final Path folder;
  private final int port;
  private final long keptWholeBytes;
  private ChildJvm child;

  private EmbeddedBrokerProcess(Path folder, int port, long keptWholeBytes)
      throws IOException, InterruptedException {
    this.folder = folder;
    this.port = port;
    this.keptWholeBytes = keptWholeBytes;
    this.child = launch();
  }

  static EmbeddedBrokerProcess start(Path folder) throws IOException, InterruptedException {
    return start(folder, Backlog.Limits.USUAL.keptWholeBytes());
  }

  /**
   * @param keptWholeBytes may wait before publishers have to
   */
  static EmbeddedBrokerProcess start(Path folder, long keptWholeBytes)
      throws IOException, InterruptedException {
    return new EmbeddedBrokerProcess(folder, LocalMosquitto.freePort(), keptWholeBytes);
  }

  private ChildJvm launch() throws IOException, InterruptedException {
    ChildJvm started =
        ChildJvm.start(
            Main.class, folder.toString(), String.valueOf(port), String.valueOf(keptWholeBytes));
    started.awaitLine(line -> line.startsWith("up "), Duration.ofSeconds(60));
    return started;
  }

  @Override
  public URI uri() {
    return URI.create("tcp://127.0.0.1:" + port);
  }

  @Override
  public void kill() throws InterruptedException {
    child.kill();
  }

  @Override
  public void restart() throws IOException, InterruptedException {
    child = launch();
  }

  @Override
  public void close() {
    child.close();
  }

  /** Runs until it is killed. */
  static final class Main {
    public static void main(String[] args) throws InterruptedException {
      try (EmbeddedBroker broker =
          EmbeddedBroker.start(
              BrokerSettings.onLoopback(Path.of(args[0]), Integer.parseInt(args[1]))
                  .keepingWhole(Set.of(KEPT_WHOLE)),
              new Backlog.Limits(Long.parseLong(args[2]), 1_000_000, Long.MAX_VALUE))) {
        System.out.println("up " + broker.port());
        new CountDownLatch(1).await();
      }
    }
  }
}
