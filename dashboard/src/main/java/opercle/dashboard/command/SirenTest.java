// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.function.BiConsumer;
import opercle.analysis.calling.Call;
import opercle.analysis.publish.Topics;

/**
 * When people's ways are tested, a siren's is too: over the broker that alarms go by, marked as a
 * test, on a topic of its own so that no siren sounds that does not want to. For any thread.
 */
final class SirenTest {

  private final Topics topics;
  private final BiConsumer<String, byte[]> publish;

  /**
   * Tells of tests.
   *
   * @param publish topic and payload, not retained: a test is over when it is heard
   */
  SirenTest(Topics topics, BiConsumer<String, byte[]> publish) {
    this.topics = topics;
    this.publish = publish;
  }

  void tell(Call test) {
    ObjectNode node =
        JsonNodeFactory.instance
            .objectNode()
            .put("type", "test")
            .put("time", test.made().toString())
            .put("test", true)
            .put("message", "This is a TEST of the way of alarms. Nothing is wrong.");
    test.by().ifPresent(by -> node.put("by", by));
    publish.accept(topics.alarmTest(), node.toString().getBytes(UTF_8));
  }
}
