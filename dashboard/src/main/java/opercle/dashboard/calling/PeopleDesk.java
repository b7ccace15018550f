// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.file.Path;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.BiConsumer;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.FarmBook;
import opercle.analysis.calling.Target;
import opercle.dashboard.calling.CallingSettings.Way;
import opercle.dashboard.web.CalledPeople;
import opercle.ingest.settings.Problem;
import opercle.ingest.settings.UnusableInputException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Who is called, and the one door through which that is changed while everything runs.
 *
 * <p>A change is in the farm book before calling hears of it. At a start the book counts, but for
 * whom a hand has changed in the configuration since it was read last: see {@link PeopleChanges}.
 * Nothing is ever written to that file. For any thread; changes take turns.
 */
public final class PeopleDesk implements CalledPeople {

  private static final Logger log = LoggerFactory.getLogger(PeopleDesk.class);

  private static final int CHANGES_SHOWN = 10;
  private static final int MOST_PEOPLE = 50;

  private final PeopleBook book;
  private final TypedSecrets secrets;
  private final InstantSource clock;
  private final List<BiConsumer<CallingSettings, CallingSettings>> followers =
      new CopyOnWriteArrayList<>();
  private volatile CallingSettings settings;
  private volatile PeopleBook.Version version;

  private PeopleDesk(
      PeopleBook book,
      TypedSecrets secrets,
      InstantSource clock,
      CallingSettings settings,
      PeopleBook.Version version) {
    this.book = book;
    this.secrets = secrets;
    this.clock = clock;
    this.settings = settings;
    this.version = version;
  }

  /**
   * Takes up who is called where it was left, with what a hand has changed in the configuration
   * since; says in the log which.
   *
   * @param file as the configuration says now
   * @param fileName what to call it
   * @throws UnusableInputException if somebody who was set up on the pages cannot be called as the
   *     configuration is now, with all that is wrong
   */
  public static PeopleDesk open(
      FarmBook farmBook,
      CallingSettings file,
      String fileName,
      Path dataFolder,
      InstantSource clock) {
    PeopleBook book = new PeopleBook(farmBook);
    String said = PeopleJson.text(file.called());
    Optional<String> saidBefore = book.file();
    Optional<PeopleBook.Version> newest = book.newest(1).stream().findFirst();
    Instant now = clock.instant();
    if (newest.isEmpty() || saidBefore.isEmpty()) {
      book.takeFile(said, now, fileName, Optional.of(said), List.of("As in " + fileName + "."));
    } else if (!saidBefore.get().equals(said)) {
      List<JsonNode> inForce = PeopleJson.nodes(newest.get().text());
      List<JsonNode> merged =
          PeopleChanges.merged(PeopleJson.nodes(saidBefore.get()), PeopleJson.nodes(said), inForce);
      List<String> what = PeopleChanges.between(inForce, merged);
      String text = PeopleJson.textOf(merged);
      var checked = read(text, file);
      book.takeFile(said, now, fileName, Optional.of(text).filter(t -> !what.isEmpty()), what);
      what.forEach(sentence -> log.info("{} was changed by hand: {}", fileName, sentence));
      log.debug("{} people are called", checked.size());
    }
    PeopleBook.Version version = book.newest(1).get(0);
    PeopleChanges.between(PeopleJson.nodes(said), PeopleJson.nodes(version.text()))
        .forEach(s -> log.info("set up on the pages, and other than in {}: {}", fileName, s));
    CallingSettings settings = file.with(read(version.text(), file));
    settings.ways().forEach(PeopleDesk::tellBroken);
    return new PeopleDesk(
        book, new TypedSecrets(dataFolder, file.folder()), clock, settings, version);
  }

  private static void tellBroken(Target target, Way way) {
    if (way instanceof Way.Webhook webhook) {
      webhook
          .broken()
          .ifPresent(
              why ->
                  log.error(
                      "{} cannot be called by {}: {}", target.person(), target.channel(), why));
    }
  }

  private static List<Called> read(String text, CallingSettings file) {
    return PeopleJson.read(
        "people, as set up on the pages",
        text,
        file.mail(),
        new BookKeys(new FileKeys(file.folder())));
  }

  /** Who is called now. */
  public CallingSettings settings() {
    return settings;
  }

  /** Tells of every change from now on, once it is in the book: what was, and what is. */
  public void follow(BiConsumer<CallingSettings, CallingSettings> follower) {
    followers.add(follower);
  }

  @Override
  public boolean has(String name) {
    return of(name).isPresent();
  }

  private Optional<Called> of(String name) {
    return settings.called().stream().filter(p -> p.name().equals(name)).findFirst();
  }

  @Override
  public ObjectNode described() {
    PeopleBook.Version now = version;
    ObjectNode node = JsonNodeFactory.instance.objectNode().put("version", now.number());
    node.put("mailServer", settings.mail().isPresent());
    ArrayNode people = node.putArray("people");
    settings.called().forEach(p -> people.add(PeopleJson.shown(p)));
    ArrayNode changes = node.putArray("changes");
    for (PeopleBook.Version v : book.newest(CHANGES_SHOWN)) {
      ObjectNode change = changes.addObject();
      change.put("version", v.number()).put("time", v.time().toString()).put("by", v.by());
      v.what().forEach(change.putArray("what")::add);
    }
    return node;
  }

  @Override
  public String yaml() {
    return PeopleJson.yaml(settings.called());
  }

  @Override
  public synchronized long describe(
      long basedOn, String by, Optional<String> name, JsonNode person, OptionalInt place) {
    requireNewest(basedOn);
    Optional<Called> before = name.flatMap(this::of);
    Called typed = typed(person, before);
    List<Called> people = new ArrayList<>(settings.called());
    int at = before.map(people::indexOf).orElse(people.size());
    before.ifPresent(people::remove);
    if (people.stream().anyMatch(p -> p.name().equalsIgnoreCase(typed.name()))) {
      throw wrong("name", "\"%s\" is there already".formatted(typed.name()));
    }
    if (people.size() >= MOST_PEOPLE) {
      throw wrong("name", "no more than %d people can be called".formatted(MOST_PEOPLE));
    }
    Called kept =
        new Called(typed.name(), typed.onCall(), typed.ways().stream().map(secrets::kept).toList());
    people.add(Math.min(place.isPresent() ? place.getAsInt() - 1 : at, people.size()), kept);
    return take(by, people);
  }

  private Called typed(JsonNode person, Optional<Called> before) {
    Map<String, Way> ways = before.map(Called::channels).orElse(Map.of());
    return PeopleJson.read(
            "people", PeopleJson.textOf(List.of(person)), settings.mail(), new TypedKeys(ways))
        .get(0);
  }

  private static UnusableInputException wrong(String key, String message) {
    return new UnusableInputException(new Problem("people", 0, ONE_PERSON + "." + key, message));
  }

  @Override
  public synchronized long remove(long basedOn, String by, String name) {
    requireNewest(basedOn);
    return take(by, settings.called().stream().filter(p -> !p.name().equals(name)).toList());
  }

  private void requireNewest(long basedOn) {
    if (basedOn != version.number()) {
      throw new RefusedActException(
          "%s has changed who is called meanwhile: %s Look at it again, then change it."
              .formatted(version.by(), String.join(" ", version.what())));
    }
  }

  private long take(String by, List<Called> people) {
    CallingSettings before = settings;
    CallingSettings after = before.with(people);
    List<String> what = PeopleChanges.between(nodes(before.called()), nodes(after.called()));
    if (!what.isEmpty()) {
      // Key files stay where this fails: it may have been kept all the same, its answer lost.
      var kept = book.add(PeopleJson.text(people), clock.instant(), by, what);
      settings = after;
      version = kept;
      log.info("who is called is changed by {}: {}", by, String.join(" ", what));
      followers.forEach(follower -> follower.accept(before, after));
      secrets.forget(secretFiles(before), secretFiles(after));
    }
    return version.number();
  }

  private static List<JsonNode> nodes(List<Called> people) {
    return people.stream().<JsonNode>map(PeopleJson::whole).toList();
  }

  private static Set<String> secretFiles(CallingSettings settings) {
    return settings.ways().values().stream()
        .flatMap(
            way -> way instanceof Way.Webhook w ? w.secretFile().stream() : Stream.<String>empty())
        .collect(Collectors.toSet());
  }
}
