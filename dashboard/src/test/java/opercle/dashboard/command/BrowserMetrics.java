// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import opercle.dashboard.web.Browser;
import org.jspecify.annotations.Nullable;

/** What a browser counts of its page: seconds in tasks, of its processor, and the like. */
final class BrowserMetrics {

  private BrowserMetrics() {}

  /** All of them by name, so far. The page's counting must have been enabled. */
  static Map<String, Double> of(Browser browser) {
    Map<String, Double> counted = new HashMap<>();
    Map<String, Object> told =
        browser.driver().executeCdpCommand("Performance.getMetrics", Map.of());
    if (told.get("metrics") instanceof List<?> metrics) {
      for (Object metric : metrics) {
        if (metric instanceof Map<?, ?> named) {
          counted.put(String.valueOf(named.get("name")), number(named.get("value")));
        }
      }
    }
    return counted;
  }

  /** By how much one grew. */
  static double spent(String what, Map<String, Double> before, Map<String, Double> after) {
    assertThat(after).containsKey(what);
    return after.getOrDefault(what, 0.0) - before.getOrDefault(what, 0.0);
  }

  /** What a script gave, which must be a number. */
  static double number(@Nullable Object value) {
    if (value instanceof Number n) {
      return n.doubleValue();
    }
    throw new IllegalStateException(String.valueOf(value));
  }
}
