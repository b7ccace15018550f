// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.calling.Call;
import opercle.analysis.publish.WatchJson;

/** A call as JSON: the alarm event of the contract, with what belongs to the call added. */
final class CallJson {

  private static final ObjectMapper JSON = new ObjectMapper();

  private CallJson() {}

  static String of(Message message) {
    try {
      Call call = message.call();
      ObjectNode node =
          call.about().isEmpty() ? JSON.createObjectNode() : alarm(call.about().get(0));
      if (call.about().isEmpty()) {
        node.put("type", "test");
        node.put("time", call.made().toString());
        node.put("message", message.body());
      }
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
      if (call.about().size() > 1) {
        var others = node.putArray("others");
        for (AlarmEvent other : call.about().subList(1, call.about().size())) {
          others.add(alarm(other));
        }
      }
      return JSON.writeValueAsString(node);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("a JSON tree could not be written", e);
    }
  }

  private static ObjectNode alarm(AlarmEvent event) throws JsonProcessingException {
    return (ObjectNode) JSON.readTree(WatchJson.alarm(event));
  }
}
