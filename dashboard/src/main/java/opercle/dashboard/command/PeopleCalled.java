// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import io.javalin.config.RoutesConfig;
import java.io.IOException;
import java.net.URI;
import java.nio.file.Path;
import java.time.InstantSource;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import opercle.analysis.book.FarmBook;
import opercle.analysis.calling.CallingState;
import opercle.analysis.calling.CallingState.Health;
import opercle.analysis.calling.Person;
import opercle.analysis.calling.Target;
import opercle.analysis.evening.Morning;
import opercle.analysis.evening.Reach;
import opercle.analysis.farm.Farm;
import opercle.analysis.figures.Deliveries;
import opercle.analysis.publish.WatchListener;
import opercle.dashboard.calling.CallBook;
import opercle.dashboard.calling.CallingApi;
import opercle.dashboard.calling.CallingService;
import opercle.dashboard.calling.CallingSettings;
import opercle.dashboard.calling.ChannelWords;
import opercle.dashboard.calling.HaveLinks;
import opercle.dashboard.calling.HaveMonitorPages;
import opercle.dashboard.calling.HavePages;
import opercle.dashboard.calling.PeopleDesk;
import opercle.dashboard.calling.PushChannel;
import opercle.dashboard.push.PushDesk;
import opercle.dashboard.web.LiveFarm;
import opercle.dashboard.web.MonitorState;
import opercle.dashboard.web.PeopleApi;
import opercle.ingest.settings.Problem;
import opercle.ingest.settings.UnusableInputException;

/**
 * Calling of people in this process, and what goes with it.
 *
 * @param desk says whom
 * @param service calls them
 * @param book keeps what they were told
 * @param links behind which they say that they have it
 */
record PeopleCalled(
    PeopleDesk desk, CallingService service, CallBook book, Optional<HaveLinks> links) {

  /**
   * Starts calling, and leaves it to the parts to end it.
   *
   * @param pages where links lead; empty where this process serves no pages
   */
  static PeopleCalled start(
      RunningParts parts,
      Configuration c,
      Farm farm,
      FarmBook farmBook,
      PushDesk push,
      Optional<URI> pages,
      InstantSource clock) {
    PeopleDesk desk = PeopleDesk.open(farmBook, c.calling(), c.file(), c.dataFolder(), clock);
    CallingSettings settings = desk.settings();
    PushChannel devices = parts.add(new PushChannel(push));
    CallBook book = new CallBook(farmBook, farm.name());
    Optional<HaveLinks> links = pages.map(url -> links(c.dataFolder(), url));
    CallingService service =
        parts.add(
            CallingService.start(
                farm, settings.plan(), settings.channels(clock, devices), links, book, clock));
    desk.follow((before, after) -> service.become(before, after, after.channels(clock, devices)));
    return new PeopleCalled(desk, service, book, links);
  }

  private static HaveLinks links(Path dataFolder, URI publicUrl) {
    try {
      return HaveLinks.in(dataFolder, publicUrl);
    } catch (IOException e) {
      throw new UnusableInputException(
          new Problem(
              dataFolder.toString(), 0, "", "cannot hold the key of links: " + e.getMessage()));
    }
  }

  static List<WatchListener> listeners(Optional<PeopleCalled> called) {
    return called.<List<WatchListener>>map(p -> List.of(p.service())).orElse(List.of());
  }

  /** Who would be called, and when each way to them last took a test. */
  static Reach reach(Optional<PeopleCalled> called) {
    return called.map(PeopleCalled::reach).orElse(Reach.NOBODY);
  }

  /** Troubles of the monitor that people are called for. */
  static List<MonitorState.Called> forTheMonitor(Optional<PeopleCalled> called) {
    return called.map(p -> p.service().calledForTheMonitor()).orElse(List.of());
  }

  private Reach reach() {
    CallingState now = service.state();
    List<Reach.Way> ways = new ArrayList<>();
    for (Person person : service.plan().people()) {
      for (String channel : person.channels()) {
        Optional<Health> health =
            Optional.ofNullable(now.channels().get(new Target(person.name(), channel).id()));
        ways.add(
            new Reach.Way(
                person.name(),
                ChannelWords.of(channel),
                health.flatMap(Health::tested),
                health.flatMap(Health::trouble),
                health.flatMap(Health::accepted)));
      }
    }
    return new Reach(true, ways);
  }

  /** The addresses that go with it. */
  List<Consumer<RoutesConfig>> routes(LiveFarm live) {
    List<Consumer<RoutesConfig>> routes = new ArrayList<>();
    routes.add(new CallingApi(service, book));
    routes.add(new PeopleApi(desk));
    links.ifPresent(
        l -> {
          routes.add(new HavePages(live, l, book));
          routes.add(new HaveMonitorPages(service, l, live::now));
        });
    return routes;
  }

  /**
   * When somebody looks again; at the usual hour, by this machine's zone, where nobody is called.
   */
  static Morning morning(Optional<PeopleCalled> called) {
    return called
        .map(people -> people.service.plan())
        .map(plan -> new Morning(plan.morning(), plan.zone()))
        .orElse(new Morning(Morning.USUAL, ZoneId.systemDefault()));
  }

  /** The farm's time zone. */
  ZoneId zone() {
    return service.plan().zone();
  }

  /** How calls fared; empty while there is nobody to call, and were none. */
  Deliveries.Source deliveries() {
    return (from, to) ->
        Optional.of(book.deliveries(from, to))
            .filter(d -> d.tried() > 0 || !service.plan().people().isEmpty());
  }
}
