// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.time.Instant;
import java.util.EnumSet;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.Consumer;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmGuide;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.BookException;
import opercle.analysis.farm.Tank;
import opercle.analysis.watch.TankState;
import opercle.dashboard.calling.HaveLinks.Claim;
import opercle.dashboard.web.LiveFarm;
import opercle.dashboard.web.NotPassedOnException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The page behind a link in a message. Looking at it changes nothing, for mail servers look at
 * links too; its one button says "I have it". Works without scripts. For any thread.
 */
public final class HavePages implements Consumer<RoutesConfig> {

  private static final Logger log = LoggerFactory.getLogger(HavePages.class);

  private static final Set<AlarmState> HAD =
      EnumSet.of(AlarmState.ACKNOWLEDGED, AlarmState.LATCHED_ACKNOWLEDGED);

  private static final Set<AlarmState> PUT_ASIDE =
      EnumSet.of(AlarmState.SHELVED, AlarmState.OUT_OF_SERVICE);

  private static final String NOT_NOTED =
      "It did not get through: Opercle cannot note that you have it, and goes on calling. Go to the"
          + " tank now. Ring the others and tell them that you are on your way; or say in the yard"
          + " that you have it, where you are logged in.";

  private final LiveFarm live;
  private final HaveLinks links;
  private final CallBook book;
  private final HaveFrame frame = new HaveFrame();

  /** Pages for these links. */
  public HavePages(LiveFarm live, HaveLinks links, CallBook book) {
    this.live = live;
    this.links = links;
    this.book = book;
  }

  @Override
  public void accept(RoutesConfig routes) {
    routes.get("/have/{token}", ctx -> withBook(ctx, this::look));
    routes.post("/have/{token}", ctx -> withBook(ctx, this::have));
  }

  /** Whoever presses at night must read what to do, also where the disk takes nothing. */
  private void withBook(Context ctx, Consumer<Context> page) {
    try {
      page.accept(ctx);
    } catch (BookException e) {
      log.error("a link cannot be used", e);
      // It was a good link, or the book would not have been asked; what stands is known without it.
      links.read(ctx.pathParam("token")).ifPresent(claim -> withoutBook(ctx, claim));
    }
  }

  private void withoutBook(Context ctx, Claim claim) {
    alarm(ctx, claim).ifPresent(a -> show(ctx, 503, claim, a, false, NOT_NOTED));
  }

  private void look(Context ctx) {
    Optional<Claim> claim = usable(ctx);
    if (claim.isPresent()) {
      Optional<Alarm> alarm = alarm(ctx, claim.get());
      alarm.ifPresent(a -> show(ctx, 200, claim.get(), a, true, "Press the button, and go."));
    }
  }

  private void have(Context ctx) {
    Optional<Claim> usable = usable(ctx);
    if (usable.isEmpty()) {
      return;
    }
    Claim claim = usable.get();
    Optional<Alarm> alarm = alarm(ctx, claim);
    if (alarm.isEmpty()) {
      return;
    }
    if (!book.use(claim.nonce(), live.now(), claim.person())) {
      used(ctx, claim);
      return;
    }
    try {
      live.acknowledge(claim.tank(), claim.cause(), claim.person());
    } catch (NotPassedOnException | RefusedActException e) {
      book.giveBack(claim.nonce());
      frame.say(
          ctx,
          503,
          "It did not get through.",
          e.getMessage() + " Calling goes on. Go and look, and press again.");
      return;
    }
    Optional<String> other =
        standing(claim).flatMap(Alarm::acknowledgedBy).filter(by -> !claim.isOf(by));
    if (other.isPresent()) { // both pressed within the same moment: the first one has it
      frame.say(
          ctx,
          200,
          other.get() + " has it.",
          tankName(claim) + ": you need not go, unless they ask you to.");
      return;
    }
    show(
        ctx,
        200,
        claim,
        alarm.get(),
        false,
        "You have it, "
            + claim.person()
            + ". The others are told, and calling stops. Go and look.");
  }

  /** The claim, if the link may be used; otherwise says why not. */
  private Optional<Claim> usable(Context ctx) {
    HaveFrame.strict(ctx);
    String token = ctx.pathParam("token");
    Optional<Claim> claim =
        token.length() > HaveFrame.LONGEST_TOKEN ? Optional.empty() : links.read(token);
    if (claim.isEmpty()) {
      frame.say(
          ctx,
          404,
          "This link is not right.",
          "It may have been cut in two by the mail. Copy the whole of it, or open the yard.");
      return Optional.empty();
    }
    Instant now = live.now();
    if (!now.isBefore(claim.get().until())) {
      frame.say(ctx, 410, "This link is too old.", "It was good for twelve hours. Open the yard.");
      return Optional.empty();
    }
    if (book.isUsed(claim.get().nonce())) {
      used(ctx, claim.get());
      return Optional.empty();
    }
    return claim;
  }

  /** Who pressed twice, or looks at the page again, has it and must not think otherwise. */
  private void used(Context ctx, Claim claim) {
    if (standing(claim).flatMap(Alarm::acknowledgedBy).filter(claim::isOf).isPresent()) {
      youHaveIt(ctx, claim);
    } else {
      frame.say(
          ctx,
          409,
          "This link has been used.",
          "It works once. Look at the yard, or call the others.");
    }
  }

  private void youHaveIt(Context ctx, Claim claim) {
    frame.say(ctx, 200, "You have it, " + claim.person() + ".", tankName(claim) + ": go and look.");
  }

  private Optional<Alarm> standing(AlarmId id) {
    return live.states().stream()
        .flatMap(s -> s.alarms().stream())
        .filter(a -> a.id().equals(id))
        .findFirst();
  }

  private Optional<Alarm> standing(Claim claim) {
    return state(claim).stream()
        .flatMap(state -> state.alarms().stream())
        .filter(a -> a.cause() == claim.cause())
        .filter(a -> a.since().toEpochMilli() == claim.since().toEpochMilli())
        .findFirst();
  }

  /** The alarm as it stands and nobody has it; otherwise says what became of it. */
  private Optional<Alarm> alarm(Context ctx, Claim claim) {
    Optional<Alarm> alarm = standing(claim);
    if (alarm.isEmpty()) {
      frame.say(
          ctx,
          410,
          "That alarm is over.",
          tankName(claim) + ": it no longer stands. If there is a new one, a new message comes.");
      return Optional.empty();
    }
    Optional<String> taken = taken(alarm.get());
    if (taken.isPresent() && alarm.get().acknowledgedBy().filter(claim::isOf).isPresent()) {
      youHaveIt(ctx, claim);
      return Optional.empty();
    }
    if (taken.isPresent()) {
      frame.say(
          ctx, 200, taken.get(), tankName(claim) + ": you need not go, unless they ask you to.");
      return Optional.empty();
    }
    if (alarm.get().state() == AlarmState.SUPPRESSED) {
      Optional<Alarm> root = alarm.get().root().flatMap(this::standing);
      frame.say(
          ctx,
          200,
          root.flatMap(HavePages::taken).orElse("Another alarm speaks for it now."),
          root.map(
                  r ->
                      "It is that of %s: %s Say so by its own message, or in the yard."
                          .formatted(tankName(r.tank()), r.message()))
              .orElse("Look at the yard."));
      return Optional.empty();
    }
    if (PUT_ASIDE.contains(alarm.get().state())) {
      frame.say(
          ctx,
          200,
          alarm.get().by().orElse("Somebody") + " has put it aside for a while.",
          tankName(claim) + ": nobody is called for it while that lasts, and nobody has it.");
      return Optional.empty();
    }
    return alarm;
  }

  private static Optional<String> taken(Alarm alarm) {
    return HAD.contains(alarm.state())
        ? Optional.of(alarm.acknowledgedBy().orElse("Somebody") + " has it.")
        : Optional.empty();
  }

  private Optional<TankState> state(Claim claim) {
    return live.states().stream().filter(s -> s.tank().equals(claim.tank())).findFirst();
  }

  private String tankName(Claim claim) {
    return tankName(claim.tank());
  }

  private String tankName(String id) {
    return live.farm().tank(id).map(Tank::name).orElse(id);
  }

  private void show(
      Context ctx, int status, Claim claim, Alarm alarm, boolean button, String after) {
    OptionalDouble minutes =
        alarm.timeInHandMinutes().isPresent() && Words.tellsMinutes(alarm.cause())
            ? alarm.timeInHandMinutes()
            : state(claim).map(s -> s.timeInHand().likelyMinutes()).orElse(OptionalDouble.empty());
    String inHand =
        minutes.isPresent()
            ? (long) Math.floor(minutes.getAsDouble()) + " min in hand now"
            : "time in hand not known";
    frame.write(
        ctx,
        status,
        new Words(live.farm()).tanks(claim.tank(), alarm.tanks())
            + ": "
            + AlarmGuide.of(alarm.cause()).title(),
        inHand,
        alarm.message(),
        after,
        button);
  }
}
