// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import io.javalin.config.RoutesConfig;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.Consumer;
import opercle.analysis.book.FarmBook;
import opercle.analysis.calling.CallingPlan;
import opercle.analysis.calling.Delivery;
import opercle.analysis.calling.Target;
import opercle.analysis.farm.Farm;
import opercle.dashboard.calling.CallingSettings.Way;
import opercle.dashboard.web.PeopleApi;
import opercle.ingest.settings.Problems;
import opercle.ingest.settings.YamlFile;

/** People who are called, kept in a real farm book; what would be sent is kept here. */
public final class KeptPeople implements AutoCloseable {

  private static final String MAIL =
      "mail: { host: localhost, security: none, from: opercle@example.org }\n";

  private final FarmBook book;
  private final CallBook calls;
  public final PeopleDesk desk;
  public final CallingService service;

  /** Where each message went: the person and what they were told by. */
  public final List<String> sent = new CopyOnWriteArrayList<>();

  private KeptPeople(Path folder, String yaml, Farm farm, Instant now) {
    this.book = FarmBook.open(folder.resolve("people.db"));
    this.calls = new CallBook(book, "Sallowmere");
    this.desk = PeopleDesk.open(book, read(folder, yaml), "opercle.yaml", folder, () -> now);
    CallingSettings first = desk.settings();
    this.service =
        CallingService.start(
            farm, first.plan(), channels(first), Optional.empty(), calls, () -> now);
    desk.follow((before, after) -> service.become(before, after, channels(after)));
  }

  /**
   * As a configuration in that folder says.
   *
   * @param people its part of that name
   */
  public static KeptPeople in(Path folder, String people, Farm farm, Instant now) {
    return new KeptPeople(folder, people, farm, now);
  }

  static CallingSettings read(Path folder, String people) {
    Problems problems = new Problems();
    CallingSettings settings =
        new CallingSettingsReader(
                YamlFile.parse("opercle.yaml", "timeZone: UTC\n" + MAIL + people, problems), folder)
            .read(Optional.empty());
    problems.throwIfAny();
    return new CallingSettings(
        new CallingPlan(
            settings.plan().people(),
            ZoneOffset.UTC,
            CallingPlan.USUAL_NIGHT,
            CallingPlan.USUAL_MORNING,
            CallingPlan.USUAL_PATIENCE,
            Optional.empty()),
        settings.called(),
        settings.mail(),
        folder,
        Optional.empty());
  }

  private Map<Target, Channel> channels(CallingSettings settings) {
    Map<Target, Channel> channels = new java.util.LinkedHashMap<>();
    settings
        .ways()
        .forEach(
            (target, way) ->
                channels.put(
                    target,
                    message -> {
                      sent.add(target.person() + ": " + words(way));
                      return new Delivery.Accepted("taken");
                    }));
    return channels;
  }

  private static String words(Way way) {
    return way instanceof Way.Mail mail
        ? mail.addresses()
        : way instanceof Way.Webhook webhook ? webhook.settings().url().toString() : "push";
  }

  /** The addresses. */
  public List<Consumer<RoutesConfig>> routes() {
    return List.of(new CallingApi(service, calls), new PeopleApi(desk));
  }

  @Override
  public void close() {
    service.close();
    book.close();
  }
}
