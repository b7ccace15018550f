// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.function.Consumer;
import java.util.function.LongSupplier;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.BookException;
import opercle.ingest.settings.UnusableInputException;

/**
 * Who is called, set up while everything runs. What is wrong is told at once, all of it, by field.
 * For any thread.
 */
public final class PeopleApi implements Consumer<RoutesConfig> {

  private static final int LARGEST_PERSON = 8 * 1024;

  private final CalledPeople people;

  /** The addresses for these people. */
  public PeopleApi(CalledPeople people) {
    this.people = people;
  }

  @Override
  public void accept(RoutesConfig routes) {
    routes.get("/api/v1/setup/people", ctx -> Api.answer(ctx, people.described()));
    routes.get("/api/v1/setup/people.yaml", this::export);
    routes.put("/api/v1/setup/people/{name}", this::describe);
    routes.post("/api/v1/setup/people/{name}/remove", this::remove);
  }

  private void export(Context ctx) {
    ctx.header("Cache-Control", "no-store")
        .header("Content-Disposition", "attachment; filename=\"people.yaml\"")
        .contentType("application/yaml")
        .result(people.yaml());
  }

  private void describe(Context ctx) {
    JsonNode body = Api.body(ctx, LARGEST_PERSON);
    String by = Api.name(ctx, body);
    long basedOn = basedOn(body);
    if (!body.path("person").isObject()) {
      throw Problem.misread("'person' must be an object.");
    }
    boolean isNew = body.path("isNew").asBoolean();
    String name = ctx.pathParam("name");
    change(
        ctx,
        () ->
            people.describe(
                basedOn,
                by,
                isNew ? Optional.empty() : Optional.of(required(name)),
                body.path("person"),
                place(body)));
  }

  private static OptionalInt place(JsonNode body) {
    JsonNode place = body.path("place");
    if (place.isMissingNode()) {
      return OptionalInt.empty();
    }
    if (!place.canConvertToInt() || !place.isIntegralNumber() || place.intValue() < 1) {
      throw Problem.misread("'place' must be a whole number, 1 for who is called first.");
    }
    return OptionalInt.of(place.intValue());
  }

  private void remove(Context ctx) {
    JsonNode body = Api.body(ctx);
    String by = Api.name(ctx, body);
    long basedOn = basedOn(body);
    String name = required(ctx.pathParam("name"));
    change(ctx, () -> people.remove(basedOn, by, name));
  }

  private String required(String name) {
    if (!people.has(name)) {
      throw Problem.notFound("Nobody called '%s' is called.".formatted(name));
    }
    return name;
  }

  private static long basedOn(JsonNode body) {
    if (!body.path("basedOn").isIntegralNumber()) {
      throw Problem.misread("'basedOn' must be the version that was seen.");
    }
    return body.path("basedOn").longValue();
  }

  private static void change(Context ctx, LongSupplier change) {
    try {
      Api.answer(ctx, SetUpJson.version(change.getAsLong()));
    } catch (UnusableInputException e) {
      throw Problem.unusable("A person who cannot be called so", e, CalledPeople.ONE_PERSON);
    } catch (RefusedActException e) {
      throw Problem.conflict(String.valueOf(e.getMessage()));
    } catch (BookException e) {
      throw Problem.unreached("It is not kept, so nothing was changed: " + e.getMessage() + ".");
    }
  }
}
