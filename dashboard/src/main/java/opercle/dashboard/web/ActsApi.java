// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.farm.Tank;
import opercle.analysis.publish.TankAct;
import opercle.analysis.publish.TankAct.OnAlarm;
import opercle.analysis.watch.TankEvent;

/**
 * What people do about alarms and tanks. Done is 204; what must not be done is 409, and what did
 * not reach the watch 503, each with the reason in words ({@link Problem}). For any thread.
 */
final class ActsApi {

  private static final long MOST_MINUTES = 90L * 24 * 60;

  private static final int NOTES_REMEMBERED = 1_000;
  private static final Pattern ID = Pattern.compile("[A-Za-z0-9][A-Za-z0-9._:-]{0,63}");

  private final LiveFarm live;

  /** What was noted last, by the id that it came with; guarded by itself. */
  private final Map<String, TankAct> noted =
      new LinkedHashMap<>() {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<String, TankAct> eldest) {
          return size() > NOTES_REMEMBERED;
        }
      };

  ActsApi(LiveFarm live) {
    this.live = live;
  }

  void routes(RoutesConfig routes) {
    for (OnAlarm.What what : OnAlarm.What.values()) {
      routes.post(
          "/api/v1/tanks/{id}/alarms/{cause}/" + what.id(),
          ctx -> perform(ctx, onAlarm(ctx, what)));
    }
    routes.post("/api/v1/tanks/{id}/out-of-service", ctx -> perform(ctx, takeOut(ctx)));
    routes.post("/api/v1/tanks/{id}/return-to-service", ctx -> perform(ctx, giveBack(ctx)));
    routes.post("/api/v1/tanks/{id}/events", this::noteOnce);
  }

  private void perform(Context ctx, TankAct act) {
    try {
      live.perform(act);
    } catch (RefusedActException e) {
      throw Problem.conflict(words(e));
    } catch (NotPassedOnException e) {
      throw Problem.unreached(words(e));
    }
    ctx.status(204);
  }

  private static String words(RuntimeException e) {
    return String.valueOf(e.getMessage());
  }

  private TankAct onAlarm(Context ctx, OnAlarm.What what) {
    Tank tank = Api.tank(ctx, live);
    AlarmCause cause = standing(tank, ctx.pathParam("cause"));
    JsonNode body = Api.body(ctx);
    String by = Api.name(ctx, body);
    return what == OnAlarm.What.SHELVE
        ? new OnAlarm(tank.id(), cause, what, by, Optional.of(minutes(body)))
        : OnAlarm.of(tank.id(), cause, what, by);
  }

  private TankAct takeOut(Context ctx) {
    Tank tank = Api.tank(ctx, live);
    JsonNode body = Api.body(ctx);
    return new TankAct.TakeOutOfService(
        tank.id(),
        cause(body),
        body.path("reason").asText("").strip(),
        Api.name(ctx, body),
        minutes(body));
  }

  private TankAct giveBack(Context ctx) {
    Tank tank = Api.tank(ctx, live);
    JsonNode body = Api.body(ctx);
    return new TankAct.ReturnToService(tank.id(), cause(body), Api.name(ctx, body));
  }

  /** A form that carries an id and is sent again is noted once. */
  private void noteOnce(Context ctx) {
    JsonNode body = Api.body(ctx);
    TankAct note = note(ctx, body);
    JsonNode id = body.path("id");
    if (id.isMissingNode()) {
      perform(ctx, note);
      return;
    }
    if (!id.isTextual() || !ID.matcher(id.textValue()).matches()) {
      throw Problem.misread("'id' must be 1–64 letters, digits and . _ : -.");
    }
    synchronized (noted) {
      if (noted.containsKey(id.textValue())) {
        ctx.status(204);
        return;
      }
      perform(ctx, note);
      noted.put(id.textValue(), note);
    }
  }

  private TankAct note(Context ctx, JsonNode body) {
    Tank tank = Api.tank(ctx, live);
    TankEvent.Kind kind =
        TankEvent.Kind.of(body.path("kind").asText(""))
            .orElseThrow(
                () -> Problem.misread("'kind' must be one of %s.".formatted(TankEvent.Kind.ids())));
    return new TankAct.Note(tank.id(), kind, Api.name(ctx, body));
  }

  private AlarmCause standing(Tank tank, String causeId) {
    AlarmCause cause = known(causeId);
    boolean stands =
        live.states().stream()
            .filter(state -> state.tank().equals(tank.id()))
            .flatMap(state -> state.alarms().stream())
            .anyMatch(alarm -> alarm.cause() == cause);
    if (!stands) {
      throw Problem.notFound(
          "%s has no such alarm standing now. It may have cleared.".formatted(tank.name()));
    }
    return cause;
  }

  private static Optional<AlarmCause> cause(JsonNode body) {
    return body.has("cause") ? Optional.of(known(body.path("cause").asText(""))) : Optional.empty();
  }

  private static AlarmCause known(String causeId) {
    return AlarmCause.of(causeId).orElseThrow(() -> Problem.notFound("There is no such alarm."));
  }

  private static Duration minutes(JsonNode body) {
    JsonNode minutes = body.path("minutes");
    if (!minutes.isIntegralNumber()
        || minutes.longValue() < 1
        || minutes.longValue() > MOST_MINUTES) {
      throw Problem.misread(
          "'minutes' must be a whole number from 1 to %d.".formatted(MOST_MINUTES));
    }
    return Duration.ofMinutes(minutes.longValue());
  }
}
