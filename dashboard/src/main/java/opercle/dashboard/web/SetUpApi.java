// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.function.Consumer;
import java.util.function.Supplier;
import java.util.function.UnaryOperator;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.BookException;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmChanges;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.farm.FarmWriter;
import opercle.analysis.farm.Tank;
import opercle.analysis.setup.FarmDoor;
import opercle.analysis.setup.HeardProbes;
import opercle.analysis.setup.ProbeDesk;
import opercle.ingest.reading.Quantity;
import opercle.ingest.settings.UnusableInputException;

/**
 * What the keeper sets up while everything runs: tanks and their supplies, the fish in them, and
 * which topic feeds which tank. What is wrong is told at once, all of it, by field. For any thread.
 */
public final class SetUpApi implements Consumer<RoutesConfig> {

  private static final int LARGEST_FARM = 200 * 1024;
  private static final String ONE_TANK = "tanks[0]";
  private static final int LONGEST_TOPIC = 1000;

  private final FarmDoor farm;
  private final Optional<ProbeDesk> probes;
  private final HeardProbes heard;
  private final Supplier<Instant> now;
  private final boolean calls;
  private final Optional<FishMoves> moves;

  /**
   * The addresses.
   *
   * @param probes empty where this process takes no readings
   * @param now the farm's time
   * @param calls whether this process calls people
   */
  public SetUpApi(
      FarmDoor farm,
      Optional<ProbeDesk> probes,
      HeardProbes heard,
      Supplier<Instant> now,
      boolean calls) {
    this(farm, probes, heard, now, calls, Optional.empty());
  }

  /**
   * The addresses.
   *
   * @param moves writes down that fish went from tank to tank; empty where this process cannot
   */
  public SetUpApi(
      FarmDoor farm,
      Optional<ProbeDesk> probes,
      HeardProbes heard,
      Supplier<Instant> now,
      boolean calls,
      Optional<FishMoves> moves) {
    this.moves = moves;
    this.farm = farm;
    this.probes = probes;
    this.heard = heard;
    this.now = now;
    this.calls = calls;
  }

  @Override
  public void accept(RoutesConfig routes) {
    routes.get("/api/v1/setup", ctx -> Api.answer(ctx, SetUpJson.of(farm, probes, heard, calls)));
    routes.get("/api/v1/setup/farm.yaml", this::export);
    routes.post("/api/v1/setup/check", this::check);
    routes.post("/api/v1/setup/farm", this::takeFarm);
    routes.put("/api/v1/setup/tanks/{id}", this::describeTank);
    routes.post("/api/v1/setup/tanks/{id}/remove", this::removeTank);
    routes.post("/api/v1/tanks/{id}/fish", this::stock);
    routes.post("/api/v1/setup/topics", this::assign);
    routes.post("/api/v1/setup/topics/take-back", this::takeBack);
  }

  private void export(Context ctx) {
    ctx.header("Cache-Control", "no-store")
        .header("Content-Disposition", "attachment; filename=\"farm.yaml\"")
        .contentType("application/yaml")
        .result(FarmWriter.write(farm.version().farm()));
  }

  /** What a farm would change; changes nothing. */
  private void check(Context ctx) {
    FarmVersion before = farm.version();
    Farm wanted = parsed(yaml(Api.body(ctx, LARGEST_FARM)), "");
    ObjectNode node = SetUpJson.version(before.number());
    FarmChanges.between(before.farm(), wanted).forEach(node.putArray("changes")::add);
    Api.answer(ctx, node);
  }

  private void takeFarm(Context ctx) {
    JsonNode body = Api.body(ctx, LARGEST_FARM);
    String by = Api.name(ctx, body);
    if (!body.path("basedOn").isIntegralNumber()) {
      throw Problem.misread("'basedOn' must be the version that was checked against.");
    }
    Farm wanted = parsed(yaml(body), "");
    change(ctx, OptionalLong.of(body.path("basedOn").longValue()), by, before -> wanted);
  }

  private static String yaml(JsonNode body) {
    if (!body.path("yaml").isTextual()) {
      throw Problem.misread("'yaml' must be the text of a farm.yaml.");
    }
    return body.path("yaml").textValue();
  }

  private static Farm parsed(String yaml, String within) {
    try {
      return FarmReader.parse("farm.yaml", yaml);
    } catch (UnusableInputException e) {
      throw Problem.unusable(e, within);
    }
  }

  private void describeTank(Context ctx) {
    JsonNode body = Api.body(ctx);
    String by = Api.name(ctx, body);
    String id = ctx.pathParam("id");
    if (!body.path("tank").isObject()) {
      throw Problem.misread("'tank' must be an object.");
    }
    ObjectNode sent = body.path("tank").deepCopy();
    sent.put("id", id).remove("load"); // fish come and go by an address of their own
    ObjectNode alone = JsonNodeFactory.instance.objectNode().put("farm", "x");
    alone.putArray("tanks").add(sent);
    // JSON is YAML too, so that one reader knows every limit.
    Tank described = parsed(alone.toString(), ONE_TANK).tanks().get(0);
    boolean isNew = body.path("isNew").asBoolean();
    JsonNode seen = body.path("basedOn");
    change(
        ctx,
        OptionalLong.empty(), // fish that came meanwhile, or another tank, are no reason to refuse
        by,
        before -> {
          if (seen.isIntegralNumber() && !isNew) {
            SetUpTanks.requireUnchanged(farm, seen.longValue(), before, id);
          }
          return with(before, described, isNew);
        });
  }

  private static Farm with(Farm farm, Tank described, boolean isNew) {
    String id = described.id();
    List<Tank> tanks = new ArrayList<>(farm.tanks());
    if (!isNew) {
      Tank tank = SetUpTanks.required(farm, id);
      tanks.set(tanks.indexOf(tank), described.withLoads(tank.loads()));
    } else if (farm.tank(id).isPresent()) {
      throw Problem.badFields(
          List.of(new Problem.Field("/id", id, "one that no other tank has", "")));
    } else {
      tanks.add(described);
    }
    return new Farm(farm.name(), farm.altitudeM(), tanks);
  }

  private void removeTank(Context ctx) {
    String id = ctx.pathParam("id");
    String by = Api.name(ctx);
    change(
        ctx,
        OptionalLong.empty(),
        by,
        before -> {
          Tank tank = SetUpTanks.required(before, id);
          if (tank.isStocked()) {
            throw new RefusedActException(
                "Fish are written down in %s. Take them out first.".formatted(tank.name()));
          }
          if (before.tanks().size() == 1) {
            throw new RefusedActException(
                "It is the farm's only tank. Add another before you take this one out.");
          }
          return new Farm(
              before.name(),
              before.altitudeM(),
              before.tanks().stream().filter(t -> !t.id().equals(id)).toList());
        });
  }

  private void stock(Context ctx) {
    JsonNode body = Api.body(ctx);
    String by = Api.name(ctx, body);
    String id = ctx.pathParam("id");
    boolean goElsewhere =
        body.path("do").asText("").equals("take") && !body.path("into").asText("").isEmpty();
    if (goElsewhere && moves.isEmpty()) {
      throw Problem.readOnly();
    }
    // The version that the sender saw: fish that are sent twice are put in once.
    JsonNode seen = body.path("basedOn");
    OptionalLong basedOn =
        seen.isIntegralNumber() ? OptionalLong.of(seen.longValue()) : OptionalLong.empty();
    FishBody fish = FishBody.of(body, now.get());
    UnaryOperator<Farm> change =
        before -> {
          Tank tank = SetUpTanks.required(before, id);
          Farm taken = SetUpTanks.with(before, fish.on(tank));
          if (fish.into().isEmpty()) {
            return taken;
          }
          Tank other = SetUpTanks.required(before, fish.into().get());
          return SetUpTanks.with(taken, fish.arrived(tank, other));
        };
    if (fish.what() == FishBody.What.ADD) {
      answer(ctx, () -> farm.putIn(basedOn, by, change, new FarmDoor.PutIn(id, fish.since())));
    } else {
      change(
          ctx,
          basedOn,
          by,
          change,
          () -> {
            if (goElsewhere) {
              note(fish, id, by);
            }
          });
    }
  }

  private void note(FishBody fish, String from, String by) {
    Farm there = farm.version().farm();
    Tank other = SetUpTanks.required(there, fish.into().orElse(""));
    moves.ifPresent(m -> m.moved(fish.move(SetUpTanks.required(there, from), other), by));
  }

  private void change(Context ctx, OptionalLong basedOn, String by, UnaryOperator<Farm> change) {
    change(ctx, basedOn, by, change, () -> {});
  }

  /**
   * @param with what else is written because of it; both or neither
   */
  private void change(
      Context ctx, OptionalLong basedOn, String by, UnaryOperator<Farm> change, Runnable with) {
    answer(ctx, () -> farm.change(basedOn, by, change, with));
  }

  private static void answer(Context ctx, Supplier<FarmVersion> change) {
    try {
      Api.answer(ctx, SetUpJson.version(change.get().number()));
    } catch (UnusableInputException e) {
      throw Problem.unusable(e, "");
    } catch (RefusedActException e) {
      throw Problem.conflict(words(e));
    } catch (NotPassedOnException e) {
      throw Problem.unreached(words(e));
    } catch (BookException e) {
      throw Problem.unreached("It is not kept, so nothing was changed: " + words(e) + ".");
    }
  }

  private void assign(Context ctx) {
    JsonNode body = Api.body(ctx);
    String by = Api.name(ctx, body);
    Quantity quantity =
        Quantity.of(body.path("quantity").asText(""))
            .orElseThrow(() -> Problem.misread("'quantity' must be one that probes measure."));
    desk(
        desk -> {
          var unused =
              desk.assign(
                  topic(body),
                  pointer(body),
                  body.path("tank").asText(""),
                  quantity,
                  Optional.empty(),
                  by);
        });
    ctx.status(204);
  }

  private void takeBack(Context ctx) {
    JsonNode body = Api.body(ctx);
    String by = Api.name(ctx, body);
    desk(desk -> desk.takeBack(topic(body), pointer(body), by));
    ctx.status(204);
  }

  private static String topic(JsonNode body) {
    String topic = body.path("topic").asText("");
    if (topic.isEmpty() || topic.length() > LONGEST_TOPIC) {
      throw Problem.misread(
          "'topic' must be an MQTT topic of 1 to %d letters.".formatted(LONGEST_TOPIC));
    }
    return topic;
  }

  /** Where the value stands in the message; empty for all of it. */
  private static String pointer(JsonNode body) {
    String pointer = body.path("pointer").asText("");
    if (!pointer.isEmpty() && !pointer.startsWith("/")) {
      throw Problem.misread("'pointer' must be empty or a JSON Pointer, which starts with /.");
    }
    return pointer;
  }

  private void desk(Consumer<ProbeDesk> act) {
    try {
      act.accept(
          probes.orElseThrow(
              () ->
                  Problem.conflict(
                      "These pages run apart from the watch, so no probe can be assigned here. Write it under \"mappings\" in opercle.yaml.")));
    } catch (RefusedActException e) {
      throw Problem.conflict(words(e));
    } catch (BookException e) {
      throw Problem.unreached("It is not kept, so nothing was changed: " + words(e) + ".");
    }
  }

  private static String words(RuntimeException e) {
    return String.valueOf(e.getMessage());
  }
}
