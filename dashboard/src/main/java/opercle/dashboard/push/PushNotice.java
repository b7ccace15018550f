// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.charset.StandardCharsets;
import java.time.Instant;

/**
 * What a device is to show.
 *
 * @param title tank and what is wrong; read first, so it comes whole on a locked screen
 * @param body how long, and the one thing to do
 * @param occurrence notices of one occurrence of an alarm replace each other; no secret
 * @param path the page that a tap opens, on this server, for instance {@code /tank/h2}
 * @param time when it happened, event time
 * @param high whether it stays until it is dealt with
 * @param calls whether it rings again although a notice of the same occurrence is there already
 */
public record PushNotice(
    String title,
    String body,
    String occurrence,
    String path,
    Instant time,
    boolean high,
    boolean calls) {

  private static final int LONGEST_TEXT = 600; // letters; even of four bytes each it fits a message

  public PushNotice {
    if (!path.startsWith("/") || path.startsWith("//")) {
      throw new IllegalArgumentException("path must be one of this server but was " + path);
    }
    title = cut(title, 120);
    body = cut(body, LONGEST_TEXT);
  }

  /** A test, which says that it is one. */
  public static PushNotice test(String farm, Instant now) {
    return new PushNotice(
        "Test: nothing is wrong",
        farm + " can call this device. Check that it was loud enough to wake you.",
        "test",
        "/device",
        now,
        false,
        true);
  }

  /** As the service worker reads it, UTF-8. */
  byte[] json() {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.put("title", title);
    node.put("body", body);
    node.put("tag", occurrence);
    node.put("path", path);
    node.put("time", time.toString());
    node.put("high", high);
    node.put("calls", calls);
    return node.toString().getBytes(StandardCharsets.UTF_8);
  }

  private static String cut(String text, int most) {
    int letters = text.codePointCount(0, text.length());
    return letters <= most ? text : text.substring(0, text.offsetByCodePoints(0, most - 1)) + "…";
  }
}
