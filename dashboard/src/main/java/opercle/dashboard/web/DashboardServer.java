// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import io.javalin.Javalin;
import io.javalin.config.JavalinConfig;
import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import io.javalin.http.HandlerType;
import io.javalin.http.HttpResponseException;
import io.javalin.util.JavalinBindException;
import jakarta.servlet.DispatcherType;
import jakarta.servlet.Filter;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import opercle.dashboard.push.PushDesk;
import opercle.ingest.store.StoreException;
import org.eclipse.jetty.ee10.servlet.FilterHolder;
import org.eclipse.jetty.ee10.servlet.ServletContextHandler;
import org.eclipse.jetty.ee10.servlet.ServletHolder;
import org.eclipse.jetty.io.EofException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The web server: pages, their files, a small JSON interface, and the live stream.
 *
 * <p>Threads: the container's pool answers requests and may wait for a disk ({@link Traces}); one
 * thread of {@link LiveFeed} asks the {@link LiveFarm} once a second and feeds all live streams
 * without ever waiting for one. {@link #close} ends them all. The methods of this class may be
 * called from any thread.
 */
public final class DashboardServer implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(DashboardServer.class);

  /** A farm of hundreds of tanks; each address has a smaller limit of its own. */
  private static final int LARGEST_REQUEST = 256 * 1024;

  private final Javalin javalin;
  private final LiveFeed feed;

  private DashboardServer(Javalin javalin, LiveFeed feed) {
    this.javalin = javalin;
    this.feed = feed;
  }

  /**
   * Starts serving; returns when the port answers.
   *
   * @throws PortTakenException if the address or the port cannot be had
   */
  public static DashboardServer start(
      DashboardSettings settings, LiveFarm live, Traces traces, PastAlarms past) {
    return start(settings, live, traces, past, Optional.empty(), List.of());
  }

  /**
   * Starts serving; returns when the port answers.
   *
   * @param push calls devices; without it the pages say that notices are not set up
   * @param more each adds its own addresses; what they throw is told as our own fault
   * @throws PortTakenException if the address or the port cannot be had
   */
  public static DashboardServer start(
      DashboardSettings settings,
      LiveFarm live,
      Traces traces,
      PastAlarms past,
      Optional<PushDesk> push,
      List<Consumer<RoutesConfig>> more) {
    return start(settings, live, traces, past, push, more, LiveFeed.Pace.USUAL);
  }

  /** The same without more addresses. */
  static DashboardServer start(
      DashboardSettings settings,
      LiveFarm live,
      Traces traces,
      PastAlarms past,
      Optional<PushDesk> push) {
    return start(settings, live, traces, past, push, List.of());
  }

  /** The same where no history is kept. */
  static DashboardServer start(DashboardSettings settings, LiveFarm live, Traces traces) {
    return start(settings, live, traces, PastAlarms.NONE);
  }

  static DashboardServer start(
      DashboardSettings settings, LiveFarm live, Traces traces, LiveFeed.Pace pace) {
    return start(settings, live, traces, PastAlarms.NONE, Optional.empty(), List.of(), pace);
  }

  private static DashboardServer start(
      DashboardSettings settings,
      LiveFarm live,
      Traces traces,
      PastAlarms past,
      Optional<PushDesk> push,
      List<Consumer<RoutesConfig>> more,
      LiveFeed.Pace pace) {
    var monitor = new MonitorApi(live);
    var feed =
        new LiveFeed(
            () -> {
              monitor.look();
              return Json.bytes(FarmJson.snapshot(live));
            },
            pace);
    Javalin javalin =
        Javalin.create(
            config -> configure(config, settings, live, traces, past, push, more, feed, monitor));
    try {
      javalin.start(settings.host(), settings.port());
    } catch (JavalinBindException e) {
      feed.close();
      throw new PortTakenException(settings, e);
    }
    feed.start();
    var server = new DashboardServer(javalin, feed);
    LOG.info("dashboard: {}://{}:{}/", settings.scheme(), settings.host(), server.port());
    return server;
  }

  /** The port that it listens on. */
  public int port() {
    return javalin.port();
  }

  /** Every address that is routed, as method and path. */
  List<String> routes() {
    return javalin.unsafe.internalRouter.allHttpHandlers().stream()
        .filter(parsed -> !parsed.endpoint.method.name().matches("(BEFORE|AFTER).*"))
        .map(parsed -> parsed.endpoint.method.name() + " " + parsed.endpoint.path)
        .toList();
  }

  /** How many pages are listening to the live stream. */
  int listening() {
    return feed.listening();
  }

  /** Ends the live streams and stops serving. */
  @Override
  public void close() {
    feed.close();
    javalin.stop();
  }

  private static void configure(
      JavalinConfig config,
      DashboardSettings settings,
      LiveFarm live,
      Traces traces,
      PastAlarms past,
      Optional<PushDesk> push,
      List<Consumer<RoutesConfig>> more,
      LiveFeed feed,
      MonitorApi monitor) {
    config.startup.showJavalinBanner = false;
    config.startup.showOldJavalinVersionWarning = false;
    config.http.maxRequestSize = LARGEST_REQUEST;
    config.http.prefer405over404 = true;
    Listening.configure(config.jetty, settings);
    var gate = new Gate(settings.entrance(), settings.isOnlyThisMachine());
    config.jetty.modifyServletContextHandler(handler -> surround(handler, settings, gate, feed));
    config.routes.beforeMatched(gate::requireRole);
    new AccessApi(settings.entrance().access(), gate).routes(config.routes);
    var pages = new Pages(live);
    pages.routes(config.routes);
    new Assets().routes(config.routes);
    new Api(live, traces).routes(config.routes);
    new PushApi(push).routes(config.routes);
    new AlarmsApi(live, past).routes(config.routes);
    monitor.routes(config.routes, feed::listening);
    new HealthApi(live).routes(config.routes);
    new MetricsApi(live, feed::listening).routes(config.routes);
    new OpenApi().routes(config.routes);
    if (more.stream().noneMatch(HoldingApi.class::isInstance)) { // without a farm book
      new HoldingApi(live, Optional::empty, past, traces, past.zone()).accept(config.routes);
    }
    more.forEach(routes -> routes.accept(config.routes));
    config.routes.exception(Problem.class, (problem, ctx) -> say(ctx, problem, pages));
    config.routes.exception(HttpResponseException.class, (e, ctx) -> refuse(ctx, e, pages));
    config.routes.exception(
        StoreException.class,
        (e, ctx) -> {
          LOG.warn("dashboard: {} {}: {}", ctx.method(), loggable(ctx.path()), e.getMessage());
          say(ctx, Problem.storeAway(), pages);
        });
    config.routes.exception(
        EofException.class, // the sender left in the middle, which is no fault of ours
        (e, ctx) -> tell(ctx, Problem.badRequest("The request ended too early.")));
    config.routes.exception(
        Exception.class,
        (e, ctx) -> {
          LOG.error("dashboard: {} {} failed", ctx.method(), loggable(ctx.path()), e);
          say(ctx, Problem.failed(), pages);
        });
  }

  /** Whoever reads the log must not be able to use somebody's link. */
  static String loggable(String path) {
    return path.startsWith("/have/") ? "/have/…" : path;
  }

  /** What surrounds the routes: the guard before everything, the live stream beside them. */
  private static void surround(
      ServletContextHandler handler, DashboardSettings settings, Gate gate, LiveFeed feed) {
    for (Filter filter : List.of(new RequestGuard(settings.names()), gate)) {
      var holder = new FilterHolder(filter);
      holder.setAsyncSupported(true);
      handler.addFilter(holder, "/*", EnumSet.of(DispatcherType.REQUEST));
    }
    var stream = new ServletHolder("live", new LiveServlet(feed));
    stream.setAsyncSupported(true);
    handler.setErrorHandler(new ProblemErrors());
    handler.addServlet(stream, "/live");
    handler.addServlet(stream, "/api/v1/live");
  }

  private static void refuse(Context ctx, HttpResponseException e, Pages pages) {
    if (e.getStatus() == 404 && !ctx.path().startsWith("/api/")) {
      pages.missing(ctx);
    } else if (e.getStatus() == 404) {
      tell(ctx, Problem.notFound("There is nothing at this address."));
    } else if (e.getStatus() == 405) {
      tell(ctx, Problem.notAllowed("This address does not take that method."));
    } else if (e.getStatus() == 413) {
      tell(ctx, Problem.tooLarge("The body is over %d bytes.".formatted(LARGEST_REQUEST)));
    } else {
      tell(ctx, Problem.badRequest("The request could not be read."));
    }
  }

  /** Whoever followed a link to a page is answered by a page. */
  private static void say(Context ctx, Problem problem, Pages pages) {
    if (!HandlerType.GET.equals(ctx.method()) || !Pages.isPage(ctx)) {
      tell(ctx, problem);
    } else if (problem.status() == 403) {
      pages.notForYou(ctx);
    } else if (problem.status() == 404) {
      pages.missing(ctx);
    } else if (problem.status() >= 500) {
      pages.failed(ctx, problem.status());
    } else {
      show(ctx, problem);
    }
  }

  private static void tell(Context ctx, Problem problem) {
    if (RefusedPage.isWanted(ctx.path(), ctx.header("Accept"))) {
      show(ctx, problem);
    } else {
      ctx.status(problem.status()).contentType(Problem.CONTENT_TYPE).result(problem.json());
    }
  }

  private static void show(Context ctx, Problem problem) {
    ctx.status(problem.status())
        .contentType(RefusedPage.CONTENT_TYPE)
        .result(RefusedPage.html(problem));
  }
}
