// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * A network namespace as another machine, with a cable to this one that can be cut: packets then
 * vanish both ways without a word, as in a broken switch. Needs Linux and the right to administer
 * networks.
 */
final class OtherMachine implements AutoCloseable {

  private static final String NAME = "opercle-far";
  private static final String HERE = "opercle-near0";
  private static final String THERE = "opercle-far0";

  /** Its address. */
  static final String ADDRESS = "10.213.7.2";

  private OtherMachine() {}

  static OtherMachine start() throws IOException, InterruptedException {
    OtherMachine machine = new OtherMachine();
    try {
      ip("netns add " + NAME);
      ip("link add " + HERE + " type veth peer name " + THERE + " netns " + NAME);
      ip("addr add 10.213.7.1/30 dev " + HERE);
      ip("link set " + HERE + " up");
      ip("-n " + NAME + " addr add " + ADDRESS + "/30 dev " + THERE);
      ip("-n " + NAME + " link set " + THERE + " up");
      ip("-n " + NAME + " link set lo up");
      return machine;
    } catch (IOException e) {
      machine.close();
      throw e;
    }
  }

  /** What to run a program by that is to be on it. */
  List<String> before() {
    return List.of("ip", "netns", "exec", NAME);
  }

  /** No packet fits into a queue of one byte. */
  void cut() throws IOException, InterruptedException {
    run("tc qdisc add dev " + HERE + " root bfifo limit 1");
    run("ip netns exec " + NAME + " tc qdisc add dev " + THERE + " root bfifo limit 1");
  }

  void mend() throws IOException, InterruptedException {
    run("tc qdisc del dev " + HERE + " root");
    run("ip netns exec " + NAME + " tc qdisc del dev " + THERE + " root");
  }

  private static void ip(String arguments) throws IOException, InterruptedException {
    run("ip " + arguments);
  }

  private static void run(String command) throws IOException, InterruptedException {
    List<String> words = new ArrayList<>(Arrays.asList(command.split(" ", -1)));
    Process process = new ProcessBuilder(words).redirectErrorStream(true).start();
    String said = new String(process.getInputStream().readAllBytes(), UTF_8);
    if (process.waitFor() != 0) {
      throw new IOException(command + ": " + said.strip());
    }
  }

  @Override
  public void close() {
    try {
      ip("netns del " + NAME); // the cable goes with it
    } catch (IOException e) {
      System.err.println("left behind: " + e.getMessage());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
