// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThatThrownBy;

import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/** The checks of the pages can fail. */
class PageChecksTest {

  private static Browser browser;

  @BeforeAll
  static void open() {
    browser = Browser.open();
    browser.phone();
  }

  @AfterAll
  static void quit() {
    browser.close();
  }

  @Test
  void textWiderThanItsBox_isFound() {
    show("<p style='width:50px;white-space:nowrap'>a long line that does not fit</p>");

    assertThatThrownBy(() -> PageChecks.everythingFits(browser)).hasMessageContaining("cut off");
  }

  @Test
  void smallButton_isFound() {
    show("<button style='height:20px'>ok</button>");

    assertThatThrownBy(() -> PageChecks.everythingFits(browser)).hasMessageContaining("too small");
  }

  @Test
  void faintText_isFound() {
    show("<main><h1 style='color:#ccc;background:#fff'>hardly there</h1></main>");

    assertThatThrownBy(() -> PageChecks.accessible(browser)).hasMessageContaining("color-contrast");
  }

  @Test
  void requestToAnotherServer_isFound() {
    show("<p>a page</p>");

    assertThatThrownBy(() -> PageChecks.pathsAskedFor(browser, "http://127.0.0.1:1"))
        .isInstanceOf(AssertionError.class);
  }

  private static void show(String body) {
    browser.go(
        "data:text/html,<!doctype html><html lang=en><title>A page</title><meta name=viewport"
            + " content='width=device-width'>"
            + body.replace("#", "%23"));
  }
}
