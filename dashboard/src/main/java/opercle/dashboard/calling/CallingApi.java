// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.io.IOException;
import java.util.Optional;
import java.util.function.Consumer;
import opercle.analysis.calling.CallingState;
import opercle.analysis.calling.CallingState.Health;
import opercle.analysis.calling.Person;
import opercle.analysis.calling.Target;
import opercle.dashboard.calling.CallBook.Entry;
import opercle.dashboard.calling.CallBook.Recorded;
import opercle.dashboard.web.Who;

/**
 * Calls and people under {@code /api/v1}: what people were told, whether they can be reached,
 * tests, and who drives. For any thread.
 */
public final class CallingApi implements Consumer<RoutesConfig> {

  private static final String MISREAD =
      "What this page sent cannot be used here. Load the page again, then try once more.";

  private static final ObjectMapper JSON = new ObjectMapper();
  private static final int MOST_CALLS = 200;

  private final CallingService calling;
  private final CallBook book;

  /** The addresses for this calling and its book. */
  public CallingApi(CallingService calling, CallBook book) {
    this.calling = calling;
    this.book = book;
  }

  @Override
  public void accept(RoutesConfig routes) {
    routes.get("/api/v1/calls", ctx -> answer(ctx, calls()));
    routes.get("/api/v1/people", ctx -> answer(ctx, people()));
    routes.post("/api/v1/people/{name}/test", this::test);
    routes.put("/api/v1/people/{name}/driving", this::driving);
    routes.post("/api/v1/monitor/troubles/{id}/have", this::have);
  }

  private ObjectNode calls() {
    ObjectNode all = JSON.createObjectNode();
    ArrayNode calls = all.putArray("calls");
    for (Recorded call : book.newest(MOST_CALLS)) {
      ObjectNode node = calls.addObject();
      node.put("key", call.key());
      node.put("time", call.time().toString());
      node.put("person", call.person());
      node.put("channel", call.channel());
      node.put("kind", call.kind());
      call.tank().ifPresent(tank -> node.put("tank", tank));
      call.cause().ifPresent(cause -> node.put("cause", cause));
      node.put("words", call.words());
      ArrayNode entries = node.putArray("deliveries");
      for (Entry entry : call.entries()) {
        ObjectNode became = entries.addObject();
        became.put("time", entry.time().toString());
        became.put("what", entry.what().id());
        entry.reason().ifPresent(reason -> became.put("reason", reason));
      }
    }
    return all;
  }

  private ObjectNode people() {
    CallingState state = calling.state();
    ObjectNode all = JSON.createObjectNode();
    ArrayNode people = all.putArray("people");
    for (Person person : calling.plan().people()) {
      ObjectNode node = people.addObject();
      node.put("name", person.name());
      node.put("driving", state.driving().contains(person.name()));
      ArrayNode channels = node.putArray("channels");
      for (String channel : person.channels()) {
        Target target = new Target(person.name(), channel);
        ObjectNode way = channels.addObject();
        way.put("channel", channel);
        Health health = state.channels().get(target.id());
        if (health != null) {
          health.tested().ifPresent(t -> way.put("tested", t.toString()));
          health.accepted().ifPresent(t -> way.put("accepted", t.toString()));
          health.trouble().ifPresent(t -> way.put("trouble", t));
        }
      }
    }
    return all;
  }

  private void test(Context ctx) {
    try {
      byte[] sent = ctx.bodyAsBytes();
      JsonNode body = sent.length == 0 ? JSON.createObjectNode() : JSON.readTree(sent);
      Optional<String> channel =
          Optional.of(body.path("channel").asText("")).filter(c -> !c.isEmpty());
      calling.test(
          ctx.pathParam("name"),
          Who.name(ctx).orElseGet(() -> body.path("by").asText("the API")),
          channel);
      ctx.status(202);
    } catch (IOException e) {
      misread(ctx, "The body is not well-formed JSON.");
    } catch (IllegalArgumentException e) {
      problem(ctx, 404, "Not found", "There is nobody of that name to be called that way.");
    }
  }

  private void driving(Context ctx) {
    try {
      JsonNode body = JSON.readTree(ctx.bodyAsBytes());
      if (!body.path("driving").isBoolean()) {
        misread(ctx, "'driving' must be true or false.");
        return;
      }
      calling.driving(ctx.pathParam("name"), body.path("driving").booleanValue());
      ctx.status(204);
    } catch (JsonProcessingException e) {
      misread(ctx, "The body is not well-formed JSON.");
    } catch (IOException e) {
      misread(ctx, "The body could not be read.");
    } catch (IllegalArgumentException e) {
      problem(ctx, 404, "Not found", "There is nobody of that name to be called.");
    }
  }

  private void have(Context ctx) {
    try {
      String sent = JSON.readTree(ctx.bodyAsBytes()).path("by").asText("").strip();
      String by = Who.name(ctx).orElse(sent);
      if (!Who.isName(by)) {
        problem(
            ctx, 400, "Not a usable request", "Your name: must have 1–60 letters, on one line.");
      } else if (calling.hadTrouble(ctx.pathParam("id"), by)) {
        ctx.status(204);
      } else {
        problem(ctx, 404, "Not found", "Nobody is called for such a trouble of the monitor now.");
      }
    } catch (IOException e) {
      misread(ctx, "The body is not well-formed JSON.");
    }
  }

  /** What none of our pages sends, unless it is older than the server. */
  private static void misread(Context ctx, String forPrograms) {
    ObjectNode node = problem(400, "Not a usable request", MISREAD);
    node.putArray("errors")
        .addObject()
        .put("pointer", "#")
        .put("detail", forPrograms)
        .put("told", MISREAD);
    answer(ctx, 400, node);
  }

  private static void problem(Context ctx, int status, String title, String detail) {
    answer(ctx, status, problem(status, title, detail));
  }

  private static ObjectNode problem(int status, String title, String detail) {
    return JSON.createObjectNode()
        .put("type", "about:blank")
        .put("title", title)
        .put("status", status)
        .put("detail", detail);
  }

  private static void answer(Context ctx, int status, ObjectNode problem) {
    ctx.status(status).contentType("application/problem+json").result(problem.toString());
  }

  private static void answer(Context ctx, ObjectNode node) {
    ctx.header("Cache-Control", "no-store").contentType("application/json").result(node.toString());
  }
}
