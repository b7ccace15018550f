// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.concurrent.atomic.AtomicReference;
import opercle.analysis.evening.Check;
import opercle.analysis.evening.Check.Answer;
import opercle.analysis.evening.Check.Topic;
import opercle.analysis.evening.EveningCheck;
import opercle.analysis.evening.EveningCheck.TankEvening;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** The page that says whether one can go to bed, in a real browser. */
class EveningPageTest extends InTheBrowser {

  private final FakeFarm farm = FakeFarm.quiet();
  private final AtomicReference<String> tested = new AtomicReference<>("");

  @BeforeEach
  void open() {
    serve(
        farm,
        PastAlarms.NONE,
        List.of(
            routes ->
                routes.post(
                    "/api/v1/people/{name}/test",
                    ctx -> {
                      tested.set(ctx.pathParam("name"));
                      ctx.status(202);
                    })));
    browser.phone();
  }

  private void look() {
    go("/evening");
  }

  @Test
  void allIsWell_saysSo_large_andUntilWhen() {
    farm.evening(check(List.of(yes(Topic.OXYGEN, "Oxygen 9.1 mg/L and holding."))));
    look();

    browser.until("the answer", () -> browser.text("#answer").equals("✓ You can go to bed"));
    assertThat(browser.text("#until")).startsWith("Until ").endsWith("when somebody looks again.");
    assertThat(browser.text("#age")).startsWith("Checked ");
    assertThat(browser.text("#people")).contains("Maren by mail: took a test 3 h ago.");
    assertThat(browser.find("#stale").isDisplayed()).isFalse();
    assertThat(browser.text("#tanks details summary")).isEqualTo("✓ All is well");
    assertThat(browser.complaints()).isEmpty();
  }

  @Test
  void whatIsNotWell_comesWithWhatToDo_andTheAnswerFollows() {
    farm.evening(check(List.of(yes(Topic.OXYGEN, "Oxygen 9.1 mg/L and holding."), cylinder())));
    look();
    browser.until("the answer", () -> browser.text("#answer").equals("✕ Not yet"));
    assertThat(browser.text("#until")).startsWith("One thing to see to. The next look is at ");
    assertThat(browser.text("#tanks"))
        .contains("Trailer tank", "The cylinder lasts about 4 h more.", "→ Change the cylinder.");
    assertThat(browser.text("#tanks")).contains("If gas stops: 14 min at the least.");

    farm.evening(check(List.of(yes(Topic.CYLINDER, "The cylinder lasts about 9 h more."))));

    browser.until("it is seen", () -> browser.text("#answer").equals("✓ You can go to bed"));
  }

  @Test
  void whereEachFigureIsFrom_isSaidOnATap_andOnPointing() {
    farm.evening(check(List.of(yes(Topic.OXYGEN, "Oxygen 9.1 mg/L and holding."), cylinder())));
    look();
    browser.until("the tank", () -> !browser.all("#tanks .whence summary").isEmpty());
    browser.run("document.querySelector('#tanks .whence summary').click(); return true;");

    browser.until( // the check and what is read now come one after the other
        "it is said",
        () -> browser.text("#tanks .whence").contains("Oxygen: probe 1, read at 02:11:"));
    assertThat(browser.text("#tanks .whence"))
        .contains(
            "Checked at 02:11:07",
            "In hand at the least: the lower end",
            "How long the cylinder lasts: an estimate");
    assertThat(
            browser.run(
                "const tank = document.querySelector('#tanks section');"
                    + "tank.dispatchEvent(new Event('pointerenter')); return tank.title;"))
        .asString()
        .contains("Oxygen: probe 1, read at");
    browser.run(
        "document.querySelector('[aria-labelledby=people-heading] .whence summary').click(); return"
            + " true;");
    browser.until(
        "of the people too",
        () ->
            browser
                .text("[aria-labelledby=people-heading] .whence")
                .contains("when its server took the test"));
  }

  @Test
  void answerThatGrowsOld_isNotGivenAnyMore() {
    farm.evening(check(List.of(yes(Topic.OXYGEN, "Oxygen 9.1 mg/L and holding."))));
    String ahead =
        browser.before("const real = Date.now; Date.now = () => real() + (window.later ?? 0);");
    look();
    browser.until("the answer", () -> browser.text("#answer").equals("✓ You can go to bed"));
    browser.offline(true);
    try {
      browser.run("window.later = 40000; return true;");

      browser.until("it is not known", () -> browser.text("#answer").equals("? Not known"));
      assertThat(browser.find("#stale").isDisplayed()).isTrue();
      assertThat(browser.text("#until")).contains("Look at the tanks yourself.");
    } finally {
      browser.offline(false);
      browser.noLonger(ahead);
    }
  }

  @Test
  void person_isSentATest() {
    farm.called("Maren");
    farm.evening(check(List.of()));
    look();
    browser.until("the button", () -> !browser.all("#tests button").isEmpty());

    browser.find("#tests button").click();

    browser.until("it is sent", () -> "Maren".equals(tested.get()));
    browser.until(
        "it is said", () -> browser.text("#tested").startsWith("A test is on its way to Maren"));
  }

  private static EveningCheck check(List<Check> ofTheTrailer) {
    return new EveningCheck(
        FakeFarm.NIGHT,
        FakeFarm.NIGHT.plus(Duration.ofHours(5)),
        List.of(new TankEvening("t1", "Trailer tank", OptionalDouble.of(14.2), ofTheTrailer)),
        List.of(
            yes(Topic.MONITOR, "The monitor finds nothing wrong with itself."),
            yes(Topic.PEOPLE, "Maren by mail: took a test 3 h ago.")));
  }

  private static Check yes(Topic topic, String words) {
    return new Check(topic, Answer.YES, words, Optional.empty());
  }

  private static Check cylinder() {
    return new Check(
        Topic.CYLINDER,
        Answer.NO,
        "The cylinder lasts about 4 h more.",
        Optional.of("Change the cylinder."));
  }
}
