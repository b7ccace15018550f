// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * Files from the jar: the pages' scripts and styles, and the chart library. For any thread.
 *
 * <p>A browser asks again at every load and is told "unchanged" by a hash of the content. The time
 * and size that a static file handler would go by do not do: our build gives every file the same
 * time, and a page with one old script among new ones is worse than a slow one.
 */
final class Assets {

  private static final String CHARTS = "/META-INF/resources/webjars/uplot/1.6.30/dist";
  private static final Pattern FILE =
      Pattern.compile("[A-Za-z0-9-]+(\\.[a-z]+)*\\.(js|css|svg|png|webmanifest)");
  private static final Map<String, String> TYPES =
      Map.of(
          "js", "text/javascript;charset=utf-8",
          "css", "text/css;charset=utf-8",
          "svg", "image/svg+xml;charset=utf-8",
          "png", "image/png",
          "webmanifest", "application/manifest+json;charset=utf-8");

  private static final class Asset {
    private final byte[] content;
    private final String type;
    private final String tag;

    Asset(byte[] content, String type) {
      this.content = content;
      this.type = type;
      this.tag = tagOf(content);
    }
  }

  /** Only what exists is kept, so that asking for nonsense does not fill the memory. */
  private final Map<String, Asset> read = new ConcurrentHashMap<>();

  void routes(RoutesConfig routes) {
    routes.get("/assets/{file}", ctx -> answer(ctx, PageFrame.FOLDER + "/assets"));
    routes.get("/charts/{file}", ctx -> answer(ctx, CHARTS));
    // These two must stand at the root: what they cover is what lies below them.
    routes.get("/sw.js", ctx -> answer(ctx, PageFrame.FOLDER, "sw.js"));
    routes.get("/opercle.webmanifest", ctx -> answer(ctx, PageFrame.FOLDER, "opercle.webmanifest"));
  }

  private void answer(Context ctx, String folder) {
    answer(ctx, folder, ctx.pathParam("file"));
  }

  private void answer(Context ctx, String folder, String file) {
    Matcher name = FILE.matcher(file);
    @Nullable Asset asset =
        name.matches()
            ? read.computeIfAbsent(folder + "/" + file, path -> read(path, name.group(2)))
            : null;
    if (asset == null) {
      throw Problem.notFound("There is nothing at %s.".formatted(ctx.path()));
    }
    ctx.header("Cache-Control", "no-cache").header("ETag", asset.tag);
    if (asset.tag.equals(ctx.header("If-None-Match"))) {
      ctx.status(304);
    } else {
      ctx.contentType(asset.type).result(asset.content);
    }
  }

  private static @Nullable Asset read(String path, String ending) {
    try (InputStream in = Assets.class.getResourceAsStream(path)) {
      if (in == null) {
        return null;
      }
      return new Asset(in.readAllBytes(), TYPES.getOrDefault(ending, ""));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Weak, because the same content may travel compressed or not. */
  private static String tagOf(byte[] content) {
    try {
      byte[] hash = MessageDigest.getInstance("SHA-256").digest(content);
      return "W/\"" + HexFormat.of().formatHex(hash, 0, 12) + "\"";
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }
}
