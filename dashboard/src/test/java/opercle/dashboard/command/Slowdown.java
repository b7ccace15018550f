// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import opercle.dashboard.web.Browser;

/**
 * By how much other work on this machine slows a browser down just now: a loop of a fixed amount of
 * JavaScript, some two milliseconds of it, is run many times; how long it takes on average, by how
 * long it takes when nobody disturbs it, which is the least. One on a quiet machine. A slow machine
 * is no excuse: it is as slow at its best.
 *
 * <p>A bound on how long something may take is multiplied by it, and by nothing else.
 */
final class Slowdown {

  private static final String LOOP =
      """
      const once = () => {
        const start = performance.now();
        let x = 1;
        for (let i = 0; i < 400000; i += 1) {
          x = (x * 1103515245 + 12345) % 2147483648;
        }
        return x < 0 ? 0 : performance.now() - start;
      };
      for (let i = 0; i < 20; i += 1) once(); // compiled by then
      const times = [];
      for (let round = 0; round < 40; round += 1) {
        for (let i = 0; i < 5; i += 1) times.push(once());
        await new Promise((next) => setTimeout(next, 5));
      }
      const mean = times.reduce((a, b) => a + b) / times.length;
      return mean / Math.min(...times);
      """;

  private Slowdown() {}

  /** Measured on an empty page, which the browser shows from then on; at least 1. */
  static double of(Browser browser) {
    browser.go("about:blank");
    if (browser.run(LOOP) instanceof Number n) {
      return Math.max(1.0, n.doubleValue());
    }
    throw new IllegalStateException("the loop gave no figure");
  }
}
