// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import opercle.dashboard.web.PageFrame.At;
import org.junit.jupiter.api.Test;

class PageFrameTest {

  private final PageFrame frame = new PageFrame();

  @Test
  void livePage_isWhole_andMarksWhereItIs() {
    String page = frame.live("alarms", "Alarms", At.page("/alarms"), "parts", "alarms");

    assertThat(page)
        .startsWith("<!doctype html>\n<html lang=\"en\">")
        .contains("<title>Alarms · Opercle</title>")
        .contains("<script type=\"module\" src=\"/assets/alarms.js\"></script>")
        .contains("<link rel=\"stylesheet\" href=\"/assets/parts.css\">")
        .contains("<h1 id=\"summary\">Asking after the alarms</h1>")
        .doesNotContain("{{");
    assertThat(page.split("aria-current=", -1)).hasSize(2);
    assertThat(page).contains("<a href=\"/alarms\" aria-current=\"page\">Alarms</a>");
    assertThat(page.indexOf("base.css")).isLessThan(page.indexOf("parts.css"));
    assertThat(page.indexOf("href=\"#page\"")).isLessThan(page.indexOf("<header"));
  }

  @Test
  void pageBehindAPlace_marksThePlace_butNotAsThePageItself() {
    assertThat(frame.live("tank", "Tank", At.behind("/")))
        .contains("<a href=\"/\" aria-current=\"true\">Yard</a>");
    assertThat(frame.live("cab", "In the cab", At.NOWHERE)).doesNotContain("aria-current");
  }

  @Test
  void pageWithoutScripts_hasNone_andKeepsWhatIsToBeFilledIn() {
    assertThat(frame.plain("have", "I have it", "have"))
        .doesNotContain("<script", "manifest")
        .contains("<h1>{{heading}}</h1>", "<main");
  }

  @Test
  void pageThatTheJarLacks_isNamed() {
    assertThatThrownBy(() -> frame.still("nowhere", "Nowhere"))
        .hasMessageContaining("/opercle/dashboard/web/nowhere.html");
  }
}
