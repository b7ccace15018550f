// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import io.javalin.config.RoutesConfig;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;

/**
 * For tests of pages: a real browser for all tests of a class, and servers whose pages it shows.
 * What is opened for a class is closed after it, what is opened for a test after that: the last
 * first. For one thread.
 */
abstract class InTheBrowser {

  /** As large as a desk's screen when a test begins. */
  static Browser browser;

  private static final Deque<AutoCloseable> OPEN = new ArrayDeque<>();
  private static String root = "";

  private final int openBefore = OPEN.size();

  @BeforeAll
  static void openBrowser() {
    browser = closing(Browser.open());
  }

  /** Whatever the test before made of it, and however that ended. */
  @BeforeEach
  void sitAtTheDesk() {
    browser.desk();
  }

  /** A page whose server stays for the next test stays too. */
  @AfterEach
  void leaveThePage() throws Exception {
    if (OPEN.size() > openBefore) {
      browser.go("about:blank");
      closeAllBut(openBefore);
    }
  }

  @AfterAll
  static void closeBrowser() throws Exception {
    closeAllBut(0);
  }

  private static void closeAllBut(int count) throws Exception {
    while (OPEN.size() > count) {
      OPEN.pop().close();
    }
  }

  /** What is given, which is closed after the test, or the class, that it is opened for. */
  static <T extends AutoCloseable> T closing(T opened) {
    OPEN.push(opened);
    return opened;
  }

  /** Shows the pages of a server from now on. */
  static DashboardServer show(DashboardServer server) {
    root = "http://127.0.0.1:" + server.port();
    return closing(server);
  }

  /** Serves a farm of which no history is kept, with the traces of a fake one. */
  static DashboardServer serve(LiveFarm farm) {
    return serve(farm, PastAlarms.NONE);
  }

  static DashboardServer serve(LiveFarm farm, PastAlarms past) {
    return serve(farm, new FakeTraces(), past);
  }

  static DashboardServer serve(LiveFarm farm, Traces traces, PastAlarms past) {
    return show(DashboardServer.start(DashboardSettings.onLoopback(0), farm, traces, past));
  }

  /** The same with more addresses. */
  static DashboardServer serve(LiveFarm farm, PastAlarms past, List<Consumer<RoutesConfig>> more) {
    return show(
        DashboardServer.start(
            DashboardSettings.onLoopback(0), farm, new FakeTraces(), past, Optional.empty(), more));
  }

  /** Where the pages are, without a slash at the end. */
  static String root() {
    return root;
  }

  /** Goes to a page of the server. */
  static void go(String path) {
    browser.go(root + path);
  }
}
