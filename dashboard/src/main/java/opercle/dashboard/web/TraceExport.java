// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.io.IOException;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.concurrent.Semaphore;
import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.eclipse.jetty.ee10.servlet.ServletContextRequest;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * A tank's readings as a file to keep: every one, as it was kept, in order of time.
 *
 * <p>Read from the store an hour at a time and written at once, so that a year takes no more memory
 * than an hour. Each export holds one of the container's threads for as long as its reader takes;
 * only a few run at a time. One that breaks off in the middle ends without the proper end of an
 * answer, so that nobody takes a part for the whole. For any thread.
 */
final class TraceExport {

  private static final Logger LOG = LoggerFactory.getLogger(TraceExport.class);

  static final int MOST_AT_ONCE = 4;

  private static final Duration USUAL_SPAN = Duration.ofHours(24);
  private static final Duration LONGEST_SPAN = Duration.ofDays(400);
  private static final Duration WINDOW = Duration.ofHours(1);
  private static final DateTimeFormatter IN_NAMES =
      DateTimeFormatter.ofPattern("uuuuMMdd'T'HHmmss'Z'").withZone(ZoneOffset.UTC);

  private final LiveFarm live;
  private final Traces traces;
  private final Semaphore running = new Semaphore(MOST_AT_ONCE);

  TraceExport(LiveFarm live, Traces traces) {
    this.live = live;
    this.traces = traces;
  }

  void routes(RoutesConfig routes) {
    routes.get("/api/v1/tanks/{id}/readings.csv", ctx -> export(ctx, CsvReadings.FORM));
    routes.get("/api/v1/tanks/{id}/readings.senml", ctx -> export(ctx, SenmlReadings.FORM));
  }

  /** A form of file. */
  interface Form {
    /** Media type. */
    String contentType();

    /** The end of the file's name, with its dot. */
    String ending();

    /** Begins one file. */
    Writer begin(java.io.OutputStream out) throws IOException;
  }

  /** Writes one file. */
  interface Writer {
    void write(Reading reading) throws IOException;

    /** Writes what comes last, and all that is held back. */
    void end() throws IOException;
  }

  private void export(Context ctx, Form form) throws IOException {
    Tank tank = Api.tank(ctx, live);
    Span span = Span.of(ctx.queryParamMap(), live.now(), USUAL_SPAN, LONGEST_SPAN);
    if (!running.tryAcquire()) {
      ctx.header("Retry-After", "10");
      throw Problem.busy(
          "%d exports are running, which is the most. Try again when one has ended."
              .formatted(MOST_AT_ONCE));
    }
    try {
      List<Series> series = series(tank);
      List<Reading> first = window(series, span.from(), span); // a store in trouble is told as such
      ctx.contentType(form.contentType())
          .header("Cache-Control", "no-store")
          .header(
              "Content-Disposition",
              "attachment; filename=\"%s\"".formatted(name(tank, span, form)));
      write(ctx, form.begin(ctx.outputStream()), first, series, span);
    } finally {
      running.release();
    }
  }

  private void write(
      Context ctx, Writer file, List<Reading> first, List<Series> series, Span span) {
    try {
      List<Reading> readings = first;
      for (Instant from = span.from(); from.isBefore(span.to()); from = next(from)) {
        if (!from.equals(span.from())) {
          readings = window(series, from, span);
        }
        for (Reading reading : readings) {
          file.write(reading);
        }
      }
      file.end();
    } catch (IOException gone) {
      breakOff(ctx); // the reader went away
    } catch (RuntimeException e) {
      LOG.error("dashboard: {} broke off", ctx.path(), e);
      breakOff(ctx);
    }
  }

  private static void breakOff(Context ctx) {
    ServletContextRequest.getServletContextRequest(ctx.req())
        .getConnectionMetaData()
        .getConnection()
        .getEndPoint()
        .close();
  }

  private List<Series> series(Tank tank) {
    return traces.series(tank.id()).stream()
        .sorted(Comparator.comparing(Series::quantity).thenComparing(Series::probe))
        .toList();
  }

  /** Windows end at whole hours, so that the first may be shorter. */
  private static Instant next(Instant from) {
    return from.truncatedTo(ChronoUnit.HOURS).plus(WINDOW);
  }

  private List<Reading> window(List<Series> series, Instant from, Span span) {
    Instant to = next(from).isBefore(span.to()) ? next(from) : span.to();
    List<Reading> readings = new ArrayList<>();
    for (Series s : series) {
      readings.addAll(traces.readings(s, from, to));
    }
    readings.sort(Comparator.comparing(Reading::time));
    return readings;
  }

  /** For instance {@code sallowmere-h2-20260313T021107Z-20260314T021107Z.csv}. */
  private String name(Tank tank, Span span, Form form) {
    String farm =
        live.farm().name().toLowerCase(java.util.Locale.ROOT).replaceAll("[^a-z0-9]+", "-");
    return "%s-%s-%s-%s%s"
        .formatted(
            farm,
            tank.id().replaceAll("[^A-Za-z0-9._-]", "-"),
            IN_NAMES.format(span.from()),
            IN_NAMES.format(span.to()),
            form.ending());
  }
}
