// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;

/**
 * Takes the pictures of the pages that the operating guide shows. (The README's is of the running
 * demo, a little after its alarm.) Not part of the usual run:
 *
 * <pre>
 * mvn -pl dashboard -am test -Dtest=PagePicturesTest -Dsurefire.failIfNoSpecifiedTests=false \
 *     -Dopercle.pictures=$PWD/docs/images
 * </pre>
 */
@EnabledIfSystemProperty(named = "opercle.pictures", matches = ".+")
class PagePicturesTest {

  private static final int LARGEST = 200_000;

  private final Path folder = Path.of(System.getProperty("opercle.pictures", "."));

  @Test
  void pictures_ofTheTroubledFarm_areSmall() throws IOException {
    try (var server =
            DashboardServer.start(
                DashboardSettings.onLoopback(0), FakeFarm.troubled(), new FakeTraces());
        var browser = Browser.open()) {
      Files.createDirectories(folder);
      String root = "http://127.0.0.1:" + server.port();
      browser.prefers("dark");
      browser.phone();
      take(browser, root + "/", ".card .trace[d*=L]", "yard-phone-night");
      browser.prefers("light");
      browser.desk();
      take(browser, root + "/tank/h2", ".surface canvas", "tank-day");
    }
  }

  private void take(Browser browser, String url, String sign, String name) throws IOException {
    browser.go(url);
    browser.until(name + " is drawn", () -> !browser.all(sign).isEmpty());
    byte[] picture = browser.picture();
    assertThat(picture).hasSizeLessThan(LARGEST);
    Files.write(folder.resolve(name + ".png"), picture);
  }
}
