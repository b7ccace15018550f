// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import opercle.dashboard.access.Role;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.Cookie;

/** The page of those who may come in. */
class UsersPageTest {

  @TempDir Path folder;

  private static String may(Browser browser, String name) {
    return String.valueOf(
        browser.run(
            "const { users } = await (await fetch('/api/v1/users')).json();"
                + "return users.find((u) => u.name === '%s').role;".formatted(name)));
  }

  /** With the arrow keys one passes roles that nobody wants; each would log its owner out. */
  @Test
  void role_isChangedByAButton_notByPassingIt() throws Exception {
    try (GuardedFarm guarded = GuardedFarm.in(folder);
        Browser browser = Browser.open()) {
      String[] cookie = guarded.cookie("Maren", Role.MANAGE).split("=", 2);
      guarded.access.add("Tove", Role.LOOK, GuardedFarm.PASSWORD);
      browser.go(guarded.root() + "/offline");
      browser.driver().manage().addCookie(new Cookie(cookie[0], cookie[1]));
      browser.go(guarded.root() + "/users");
      browser.until("they are listed", () -> browser.all("#users li").size() == 2);
      String tove =
          "[...document.querySelectorAll('#users li')].find((li) => li.textContent.includes('Tove'))";

      browser.run(
          "const select = %s.querySelector('select'); select.focus(); select.value = 'keep';"
                  .formatted(tove)
              + "select.dispatchEvent(new Event('change', { bubbles: true })); return true;");
      assertThat(may(browser, "Tove")).isEqualTo("look");
      PageChecks.accessible(browser);
      browser.run(
          "const give = [...%s.querySelectorAll('button')].find((b) => b.textContent === 'Change it');"
                  .formatted(tove)
              + "give.focus(); give.click(); return true;");

      browser.until("it is done", () -> browser.text("#said").startsWith("Tove may keep"));
      assertThat(may(browser, "Tove")).isEqualTo("keep");
      browser.until(
          "the focus is where it is said",
          () -> "said".equals(browser.run("return document.activeElement.id;")));
    }
  }
}
