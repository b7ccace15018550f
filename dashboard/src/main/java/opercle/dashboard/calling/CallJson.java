// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.List;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.calling.Call;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.publish.WatchJson;

/**
 * A call as JSON: the alarm event of the contract, or an object of type {@code monitor} where it is
 * about the monitor itself, with what belongs to the call added.
 */
final class CallJson {

  private static final ObjectMapper JSON = new ObjectMapper();

  private CallJson() {}

  static String of(Message message) {
    try {
      Call call = message.call();
      ObjectNode node = first(message);
      node.put("test", call.kind() == Call.Kind.TEST);
      node.put("farm", message.farm());
      ObjectNode about = node.putObject("call");
      about.put("key", call.key());
      about.put("kind", Words.kind(call.kind()));
      about.put("person", call.person());
      about.put("made", call.made().toString());
      about.put("number", call.number());
      about.put("driving", call.driving());
      about.put("subject", message.subject());
      about.put("spoken", message.spoken());
      message.link().ifPresent(link -> about.put("link", link.toString()));
      List<ObjectNode> others = new ArrayList<>();
      for (AlarmEvent event : call.about()) {
        others.add(alarm(call, event));
      }
      for (MonitorTrouble trouble : call.troubles()) {
        others.add(monitor(call, trouble));
      }
      if (others.size() > 1) {
        node.putArray("others").addAll(others.subList(1, others.size()));
      }
      return JSON.writeValueAsString(node);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("a JSON tree could not be written", e);
    }
  }

  /** What it is about first. */
  private static ObjectNode first(Message message) throws JsonProcessingException {
    Call call = message.call();
    if (!call.about().isEmpty()) {
      return alarm(call, call.about().get(0));
    }
    if (!call.troubles().isEmpty()) {
      return monitor(call, call.troubles().get(0));
    }
    ObjectNode test = JSON.createObjectNode();
    test.put("type", "test");
    test.put("time", call.made().toString());
    test.put("message", message.body());
    return test;
  }

  private static ObjectNode monitor(Call call, MonitorTrouble trouble) {
    ObjectNode node = JSON.createObjectNode();
    node.put("type", "monitor");
    node.put("time", WatchJson.time(call.made()));
    node.put("trouble", trouble.key().id());
    node.put("event", call.isOver(trouble) ? AlarmEvent.Kind.CLEARED.id() : event(call));
    node.put("priority", trouble.priority().id());
    node.put("since", WatchJson.time(trouble.since()));
    node.put("title", MonitorWords.title(trouble));
    node.put("message", MonitorWords.message(trouble));
    node.put("found", trouble.words());
    call.by().ifPresent(by -> node.put("by", by));
    return node;
  }

  /** With the words of alarm events. */
  private static String event(Call call) {
    return switch (call.kind()) {
      case TAKEN -> AlarmEvent.Kind.ACKNOWLEDGED.id();
      case ENDED -> AlarmEvent.Kind.CLEARED.id();
      default -> AlarmEvent.Kind.RAISED.id();
    };
  }

  private static ObjectNode alarm(Call call, AlarmEvent event) throws JsonProcessingException {
    ObjectNode node = (ObjectNode) JSON.readTree(WatchJson.alarm(event));
    if (call.isOver(event)) {
      node.put("event", AlarmEvent.Kind.CLEARED.id());
    }
    return node;
  }
}
