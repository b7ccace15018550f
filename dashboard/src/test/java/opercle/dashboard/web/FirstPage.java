// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.util.List;

/** What a browser fetches for the first page; {@link YardPageTest} sees that the list is whole. */
final class FirstPage {

  static final List<String> FILES =
      List.of(
          "/",
          "/assets/early.js",
          "/assets/base.css",
          "/assets/parts.css",
          "/assets/yard.css",
          "/assets/yard.js",
          "/assets/device.js",
          "/assets/dom.js",
          "/assets/feed.js",
          "/assets/live.js",
          "/assets/name.js",
          "/assets/origins.js",
          "/assets/session.js",
          "/assets/sound.js",
          "/assets/sound-plan.js",
          "/assets/state.js",
          "/assets/tank-card.js",
          "/assets/units.js",
          "/assets/words.js",
          "/assets/alarm-list.js",
          "/assets/guide.js",
          "/assets/hand.js",
          "/assets/last-hour.js",
          "/assets/values.js",
          "/assets/voice.js",
          "/assets/settled.js",
          "/assets/whence.js",
          "/assets/zone.js",
          "/assets/mark.svg",
          "/opercle.webmanifest",
          "/api/v1/session",
          "/api/v1/tanks",
          "/api/v1/last-hour");

  private FirstPage() {}
}
