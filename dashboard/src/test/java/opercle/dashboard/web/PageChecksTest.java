// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThatThrownBy;

import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The checks of the pages can fail. */
class PageChecksTest extends InTheBrowser {

  @BeforeEach
  void onAPhone() {
    browser.phone();
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

  @ParameterizedTest
  @ValueSource(
      strings = {
        "<main><p>words <a href=''>a link among words</a></p></main>",
        "<textarea style='height:30px'></textarea>",
        "<button style='height:60px;width:30px;padding:0'>x</button>"
      })
  void whateverIsTooSmallToPress_isFound(String body) {
    show(body);

    assertThatThrownBy(() -> PageChecks.everythingFits(browser)).hasMessageContaining("too small");
  }

  @Test
  void targetsThatAreTooCloseTogether_areFound() {
    show(
        "<main><h1>Close</h1><button style='width:12px;height:12px;padding:0'>a</button>"
            + "<button style='width:12px;height:12px;padding:0'>b</button></main>");

    assertThatThrownBy(() -> PageChecks.accessible(browser)).hasMessageContaining("target-size");
  }

  @Test
  void focusUnderABarThatStays_isFound() {
    show(
        "<div style='height:2000px'></div><button>under it</button><div style='height:2000px'></div>"
            + "<nav style='position:fixed;bottom:0;left:0;right:0;height:90px;background:red'></nav>");

    assertThatThrownBy(() -> PageChecks.focusIsSeen(browser)).hasMessageContaining("under it");
  }

  @Test
  void faintText_isFound() {
    show("<main><h1 style='color:#ccc;background:#fff'>hardly there</h1></main>");

    assertThatThrownBy(() -> PageChecks.accessible(browser)).hasMessageContaining("color-contrast");
  }

  @Test
  void requestToAnotherServer_isFound() {
    browser.requests(); // the browser's own first page
    show("<p>a page with a picture</p><img alt='' src='http://127.0.0.2:4711/elsewhere.png'>");

    assertThatThrownBy(() -> PageChecks.pathsAskedFor(browser, "http://127.0.0.1:1"))
        .hasMessageContaining("elsewhere.png");
  }

  private static void show(String body) {
    browser.go(
        "data:text/html,<!doctype html><html lang=en><title>A page</title><meta name=viewport"
            + " content='width=device-width'>"
            + body.replace("#", "%23"));
  }
}
