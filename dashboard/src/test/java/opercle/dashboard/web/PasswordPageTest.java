// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import opercle.dashboard.access.LogIn;
import opercle.dashboard.access.Role;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** One's own password, changed in a real browser. */
class PasswordPageTest {

  @TempDir Path folder;

  @Test
  void ownPassword_canBeLookedAt_beforeItIsSet() throws Exception {
    try (GuardedFarm farm = GuardedFarm.in(folder);
        Browser browser = Browser.open()) {
      farm.access.add("Maren", Role.KEEP, GuardedFarm.PASSWORD);
      browser.phone();
      browser.go("http://127.0.0.1:" + farm.server.port() + "/login");
      browser.until("the form is there", () -> !browser.all("#name").isEmpty());
      browser.find("#name").sendKeys("Maren");
      browser.find("#password").sendKeys(GuardedFarm.PASSWORD);
      browser.find("#log-in button").click();
      browser.until("logged in", () -> !browser.all(".logged-in button").isEmpty());
      browser.run("document.querySelector('.logged-in button').click(); return true;");
      browser.until("the form", () -> !browser.all("#own-new").isEmpty());
      browser.find("#own-old").sendKeys(GuardedFarm.PASSWORD);
      browser.find("#own-new").sendKeys("a lane of willow and rud");

      String show = "button[aria-label^='Show: Your new password']";
      browser.find(show).click();
      assertThat(browser.find("#own-new").getDomProperty("type")).isEqualTo("text");
      assertThat(browser.find("#own-old").getDomProperty("type")).isEqualTo("password");
      PageChecks.everythingFits(browser);
      PageChecks.accessible(browser);
      browser.find("#own-new").sendKeys("d"); // seen, and put right
      browser.find(show).click();
      assertThat(browser.find("#own-new").getDomProperty("type")).isEqualTo("password");
      browser.find(".logged-in button.solid").click();

      browser.until(
          "it is changed", () -> browser.text(".logged-in").contains("Your password is changed"));
      assertThat(farm.access.logIn("Maren", "a lane of willow and rudd", "10.0.0.7"))
          .isInstanceOf(LogIn.Done.class);
    }
  }
}
