// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Consumer;
import opercle.analysis.calling.MonitorCause;
import opercle.dashboard.calling.HaveLinks.MonitorClaim;

/**
 * The page behind a link in a message about the monitor itself; see {@link HavePages}. It needs no
 * farm book, for a full disk may be what it is about. For any thread.
 */
public final class HaveMonitorPages implements Consumer<RoutesConfig> {

  private static final Duration UNTIL_CALLING_KNOWS = Duration.ofSeconds(10);

  private final CallingService calling;
  private final HaveLinks links;
  private final InstantSource clock;
  private final HaveFrame frame = new HaveFrame();
  private final Map<String, Press> just = new ConcurrentHashMap<>(); // as many as there are causes

  private record Press(String person, Instant at) {}

  /** Pages for these links. */
  public HaveMonitorPages(CallingService calling, HaveLinks links, InstantSource clock) {
    this.calling = calling;
    this.links = links;
    this.clock = clock;
  }

  @Override
  public void accept(RoutesConfig routes) {
    routes.get("/have/monitor/{token}", ctx -> page(ctx, false));
    routes.post("/have/monitor/{token}", ctx -> page(ctx, true));
  }

  private void page(Context ctx, boolean pressed) {
    HaveFrame.strict(ctx);
    String token = ctx.pathParam("token");
    Optional<MonitorClaim> claim =
        token.length() > HaveFrame.LONGEST_TOKEN ? Optional.empty() : links.readMonitor(token);
    if (claim.isEmpty()) {
      frame.say(
          ctx,
          404,
          "This link is not right.",
          "It may have been cut in two by the mail. Copy the whole of it, or open the yard.");
    } else if (!clock.instant().isBefore(claim.get().until())) {
      frame.say(ctx, 410, "This link is too old.", "It was good for twelve hours. Open the yard.");
    } else {
      page(ctx, claim.get(), pressed);
    }
  }

  private void page(Context ctx, MonitorClaim claim, boolean pressed) {
    Optional<MonitorCause> cause =
        Optional.ofNullable(calling.state().monitor().get(claim.key())).filter(c -> !c.over());
    if (cause.isEmpty()) {
      frame.say(ctx, 410, "That is over.", "If there is something new, a new message comes.");
    } else if (cause.get().by().isPresent()) {
      had(ctx, claim, cause.get().by().get());
    } else if (!cause.get().urgent()) {
      frame.say(
          ctx,
          200,
          "Nobody is called for it any more.",
          "It still stands, but there are no fish to watch. See to it when you can.");
    } else {
      String first = pressed ? firstToPress(claim) : claim.person();
      if (!first.equals(claim.person())) {
        had(ctx, claim, first);
        return;
      }
      if (pressed) {
        calling.had(claim.key(), claim.person());
      }
      show(ctx, claim, cause.get(), pressed);
    }
  }

  /** Calling hears of it a moment later; until then the first name is kept here. */
  private String firstToPress(MonitorClaim claim) {
    Instant now = clock.instant();
    return just.compute(
            claim.key(),
            (key, old) ->
                old != null && now.isBefore(old.at().plus(UNTIL_CALLING_KNOWS))
                    ? old
                    : new Press(claim.person(), now))
        .person();
  }

  private void had(Context ctx, MonitorClaim claim, String by) {
    if (by.equals(claim.person())) {
      frame.say(ctx, 200, "You have it, " + by + ".", "The others need not go.");
    } else {
      frame.say(ctx, 200, by + " has it.", "You need not go, unless they ask you to.");
    }
  }

  private void show(Context ctx, MonitorClaim claim, MonitorCause cause, boolean pressed) {
    String after =
        pressed
            ? "You have it, "
                + claim.person()
                + ". The others are told, and calling stops for an hour."
            : "Press the button, and go.";
    frame.write(
        ctx,
        200,
        MonitorWords.gist(cause.troubles().get(0)),
        "",
        MonitorWords.toldOnce(cause.troubles()),
        after,
        !pressed);
  }
}
