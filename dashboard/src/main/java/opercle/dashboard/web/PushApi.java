// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.net.URI;
import java.util.Optional;
import opercle.dashboard.push.PushDesk;
import opercle.dashboard.push.PushOutcome;

/**
 * The addresses under {@code /api/v1/push}: a device asks to be called, stops it, tries it. An
 * endpoint is a secret of the device, so it travels in bodies only, and is never given out. For any
 * thread.
 */
final class PushApi {

  private final Optional<PushDesk> push;

  PushApi(Optional<PushDesk> push) {
    this.push = push;
  }

  void routes(RoutesConfig routes) {
    routes.get(
        "/api/v1/push/key",
        ctx ->
            Api.answer(
                ctx, JsonNodeFactory.instance.objectNode().put("publicKey", desk().publicKey())));
    routes.post("/api/v1/push/subscriptions", this::subscribe);
    routes.delete("/api/v1/push/subscriptions", this::unsubscribe);
    routes.post("/api/v1/push/test", this::test);
  }

  private void subscribe(Context ctx) {
    PushDesk desk = desk();
    JsonNode body = Api.body(ctx);
    String by = Api.name(ctx, body);
    JsonNode keys = body.path("keys");
    try {
      desk.subscribe(
          body.path("endpoint").asText(),
          keys.path("p256dh").asText(),
          keys.path("auth").asText(),
          by);
    } catch (IllegalArgumentException e) {
      throw Problem.misread(String.valueOf(e.getMessage()));
    }
    ctx.status(204);
  }

  private void unsubscribe(Context ctx) {
    desk().unsubscribe(endpoint(ctx));
    ctx.status(204);
  }

  private void test(Context ctx) {
    PushOutcome outcome =
        desk()
            .test(endpoint(ctx))
            .orElseThrow(
                () ->
                    Problem.notFound(
                        "Opercle does not call this device any longer. Stop notices here, and ask"
                            + " for them again."));
    if (outcome instanceof PushOutcome.Gone) {
      throw Problem.notFound(
          "This device takes no notices from here any longer. Stop notices here, and ask for them again.");
    } else if (outcome instanceof PushOutcome.Later later) {
      throw Problem.notPassedOn(
          "What carries notices to this device takes no more for %d s. Try again then."
              .formatted(later.retryAfter().toSeconds()));
    } else if (outcome instanceof PushOutcome.Refused refused) {
      throw Problem.notPassedOn(refused.why());
    } else if (outcome instanceof PushOutcome.Unreached unreached) {
      throw Problem.notPassedOn(unreached.why());
    }
    ctx.status(204);
  }

  private static URI endpoint(Context ctx) {
    try {
      return URI.create(Api.body(ctx).path("endpoint").asText());
    } catch (IllegalArgumentException e) {
      throw Problem.misread("'endpoint' must be the address that the device is called at.");
    }
  }

  private PushDesk desk() {
    return push.orElseThrow(
        () -> Problem.notFound("Notices are not set up on this server: it keeps no farm book."));
  }
}
