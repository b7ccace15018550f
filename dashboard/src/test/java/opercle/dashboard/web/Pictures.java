// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;

/**
 * Pictures of pages for a person to look at: all of them in {@code target/pages}, and small ones
 * for the documents in the folder named by the system property {@code opercle.screenshots}.
 */
final class Pictures {

  private static final Path SEEN = Path.of("target", "pages");
  private static final Optional<Path> KEPT =
      Optional.ofNullable(System.getProperty("opercle.screenshots")).map(Path::of);

  private Pictures() {}

  /** What the browser shows now, for the documents too. */
  static void keep(Browser browser, String name) throws IOException {
    byte[] seen = look(browser, name);
    if (KEPT.isPresent()) {
      byte[] small = CompactPng.of(seen);
      assertThat(small).as(name).hasSizeLessThan(CompactPng.LARGEST);
      Files.createDirectories(KEPT.get());
      Files.write(KEPT.get().resolve(name + ".png"), small);
    }
  }

  /** What the browser shows now. */
  static byte[] look(Browser browser, String name) throws IOException {
    byte[] seen = browser.picture();
    Files.write(Files.createDirectories(SEEN).resolve(name + ".png"), seen);
    return seen;
  }

  /** One of the pages' four forms. */
  interface InAForm {
    /**
     * Does with the page what is to be done.
     *
     * @param form ends a picture's name, such as {@code phone-night}
     */
    void look(String form) throws IOException;
  }

  /** Shows a browser's page at a desk and on a phone, by day and by night; the last one stays. */
  static void inEveryForm(Browser browser, InAForm page) throws IOException {
    for (String light : new String[] {"day", "night"}) {
      browser.prefers(light.equals("night") ? "dark" : "light");
      browser.desk();
      page.look("desk-" + light);
      browser.phone();
      page.look("phone-" + light);
    }
  }

  /**
   * The same of what is open now: fits, is accessible, and is kept for the documents, from its top.
   */
  static void keepInEveryForm(Browser browser, String name, String css) throws IOException {
    inEveryForm(
        browser,
        form -> {
          PageChecks.everythingFits(browser);
          PageChecks.accessible(browser);
          browser.run("document.querySelector('%s').scrollIntoView(); return true;".formatted(css));
          keep(browser, name + "-" + form);
        });
  }
}
