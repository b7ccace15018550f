// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.Base64;
import java.util.Collection;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Semaphore;
import java.util.function.Supplier;
import opercle.analysis.book.BookException;
import opercle.analysis.book.PhotoRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.records.TankEntry;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.trip.TripLog;
import opercle.analysis.tripfile.TripFile;
import opercle.analysis.tripfile.TripPhoto;

/**
 * A picture that goes with a check at a stop, or with what was written down at a tank. It is sent
 * as JSON like everything else, so that no form of another site can send one, and is drawn anew
 * before it is kept. For any thread.
 */
final class PhotoApi {

  /** As base64; the pages make theirs small enough. */
  private static final int LARGEST_BODY = 250 * 1024;

  private static final String ON_TRIP = "/api/v1/trips/{id}/checks/{entry}/photo";
  private static final String AT_TANK = "/api/v1/tanks/{id}/done/{entry}/photo";

  private final LiveFarm live;
  private final Supplier<Optional<PhotoRecords>> photos;
  private final Supplier<Optional<TripRecords>> trips;
  private final Supplier<Optional<RecordBook>> work;

  /** Unpacking takes memory: one at a time. */
  private final Semaphore atOnce = new Semaphore(1);

  PhotoApi(
      LiveFarm live,
      Supplier<Optional<PhotoRecords>> photos,
      Supplier<Optional<TripRecords>> trips,
      Supplier<Optional<RecordBook>> work) {
    this.live = live;
    this.photos = photos;
    this.trips = trips;
    this.work = work;
  }

  void routes(RoutesConfig routes) {
    routes.get(ON_TRIP, ctx -> give(ctx, onTrip(ctx)));
    routes.post(ON_TRIP, ctx -> take(ctx, onTrip(ctx)));
    routes.get(AT_TANK, ctx -> give(ctx, atTank(ctx)));
    routes.post(AT_TANK, ctx -> take(ctx, atTank(ctx)));
  }

  private String onTrip(Context ctx) {
    String entry = ctx.pathParam("entry");
    return trips
        .get()
        .flatMap(records -> records.trip(ctx.pathParam("id")))
        .flatMap(
            log ->
                log.entries().stream()
                    .filter(e -> e instanceof StopCheck && e.id().equals(entry))
                    .findFirst())
        .orElseThrow(() -> Problem.notFound("There is no such check on that trip."))
        .id();
  }

  private String atTank(Context ctx) {
    String tank = Api.tank(ctx, live).id();
    return work.get()
        .flatMap(book -> book.records().find(TankEntry.class, ctx.pathParam("entry")))
        .filter(s -> s.entry().where().tank().equals(tank))
        .orElseThrow(() -> Problem.notFound("Nothing of that name is written down at that tank."))
        .id();
  }

  private void give(Context ctx, String about) {
    byte[] jpeg =
        photos
            .get()
            .flatMap(p -> p.find(about))
            .orElseThrow(() -> Problem.notFound("No picture goes with it."));
    ctx.header("Cache-Control", "private, no-cache")
        // Opened by itself it may do nothing at all.
        .header("Content-Security-Policy", "default-src 'none'; sandbox; frame-ancestors 'none'")
        .header("Content-Disposition", "inline; filename=\"check.jpg\"")
        .contentType("image/jpeg")
        .result(jpeg);
  }

  private void take(Context ctx, String about) {
    JsonNode body = Api.body(ctx, LARGEST_BODY);
    String by = Api.name(ctx, body);
    byte[] sent = picture(body);
    PhotoRecords kept =
        photos.get().filter(PhotoRecords::isWritable).orElseThrow(Problem::readOnly);
    PhotoRecords.Outcome outcome;
    try {
      outcome = kept.keep(about, live.now(), by, hash(sent), drawn(sent));
    } catch (BookException e) {
      throw Problem.unreached("The picture is not kept: " + e.getMessage() + ".");
    }
    if (outcome == PhotoRecords.Outcome.ANOTHER_IS_THERE) {
      throw Problem.conflict("A picture goes with it already, and stays.");
    }
    ctx.status(outcome == PhotoRecords.Outcome.KEPT ? 201 : 200);
    Api.answer(ctx, JsonNodeFactory.instance.objectNode().put("about", about));
  }

  private byte[] drawn(byte[] sent) {
    if (!atOnce.tryAcquire()) {
      throw Problem.busy("Another picture is being looked at. Send it again in a second.");
    }
    try {
      return Picture.drawnAnew(sent);
    } finally {
      atOnce.release();
    }
  }

  /**
   * A trip's file with those of its pictures that are not here yet, each drawn anew as one that was
   * sent is; the others stay as they are here.
   */
  TripFile newOnes(TripFile file) {
    Set<String> there = among(photos, file.photos().stream().map(TripPhoto::about).toList());
    List<TripPhoto> drawn = new ArrayList<>();
    for (TripPhoto photo : file.photos()) {
      if (!there.contains(photo.about())) {
        atOnce.acquireUninterruptibly();
        try {
          drawn.add(
              TripPhoto.of(
                  photo.about(),
                  photo.time(),
                  photo.by(),
                  photo.sent(),
                  Picture.drawnAnew(photo.jpeg())));
        } finally {
          atOnce.release();
        }
      }
    }
    return file.withPhotos(drawn);
  }

  private static byte[] picture(JsonNode body) {
    String text = body.path("picture").asText("");
    if (text.isEmpty()) {
      throw Problem.misread("'picture' must be a JPEG or a PNG, in base64.");
    }
    try {
      return Base64.getDecoder().decode(text);
    } catch (IllegalArgumentException e) {
      throw Problem.misread("'picture' must be in base64.");
    }
  }

  private static String hash(byte[] sent) {
    try {
      return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(sent));
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }

  /** The pictures of a trip's entries; none while there is no farm book. */
  static List<TripPhoto> of(Supplier<Optional<PhotoRecords>> photos, TripLog log) {
    return photos
        .get()
        .map(p -> p.of(log.entries().stream().map(TripEntry::id).toList()))
        .orElse(List.of());
  }

  /** Which of these entries have a picture; none while there is no farm book. */
  static Set<String> among(Supplier<Optional<PhotoRecords>> photos, Collection<String> entries) {
    return photos.get().map(p -> p.among(entries)).orElse(Set.of());
  }
}
