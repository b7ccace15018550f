// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;

/**
 * What every page stands in: head, way about, status bars. Written once in the jar and filled here;
 * what a page itself is made of is a file of its own. Pure but for reading the jar; for any thread.
 */
public final class PageFrame {

  static final String FOLDER = "/opercle/dashboard/web";

  private static final Pattern PLACE = Pattern.compile("\\{\\{([a-z]+)}}");
  private static final String EARLY = "<script src=\"/assets/early.js\"></script>\n";
  private static final String INSTALL =
      "<link rel=\"manifest\" href=\"/opercle.webmanifest\">\n" + EARLY;

  private final String frame = read("frame.html");
  private final String liveTop = read("top-live.html");
  private final String plainTop = read("top-plain.html");

  /**
   * A page that is kept up to date: it has the way about, the clock and the bars that say what is
   * wrong.
   *
   * @param name of its file, and of its script
   * @param title in the tab; empty for the product's name alone
   * @param at the address in the way about that it is or belongs to; empty where none
   * @param styles of its own, by name, or a whole path
   */
  String live(String name, String title, At at, String... styles) {
    String head = INSTALL + sheets(styles) + script(name);
    return filled(title, head, liveTop.replace(at.link, at.marked), read(name + ".html"));
  }

  /**
   * A page that shows nothing live.
   *
   * @param name of its file
   * @param title in the tab
   * @param parts scripts of its own, by name, each with a style of the same name
   */
  String still(String name, String title, String... parts) {
    String scripts = Stream.of(parts).map(PageFrame::script).collect(Collectors.joining());
    return filled(title, EARLY + sheets(parts) + scripts, plainTop, read(name + ".html"));
  }

  /**
   * A page that works without any script, whose light is the device's. What it still has to be
   * filled with stands in it as it does in its file.
   *
   * @param name of its file
   * @param title in the tab
   * @param styles of its own, by name
   */
  public String plain(String name, String title, String... styles) {
    return filled(title, sheets(styles), plainTop, read(name + ".html"));
  }

  /** Where a page stands in the way about. */
  static final class At {

    static final At NOWHERE = new At("<nav", "<nav");

    private final String link;
    private final String marked;

    private At(String link, String marked) {
      this.link = link;
      this.marked = marked;
    }

    /** The page itself is there. */
    static At page(String path) {
      return of(path, "page");
    }

    /** The page lies behind the one that is there. */
    static At behind(String path) {
      return of(path, "true");
    }

    private static At of(String path, String current) {
      String link = "<a href=\"" + path + "\"";
      // The product's name leads to the yard too; only the way about is marked.
      return new At(link + ">", link + " aria-current=\"" + current + "\">");
    }
  }

  private String filled(String title, String head, String top, String page) {
    Map<String, String> parts =
        Map.of(
            "title", title.isEmpty() ? "Opercle" : title + " · Opercle",
            "head", head,
            "top", top,
            "page", page);
    return PLACE
        .matcher(frame)
        .replaceAll(
            place -> Matcher.quoteReplacement(parts.getOrDefault(place.group(1), place.group())));
  }

  private static String sheets(String... styles) {
    return sheet("base") + Stream.of(styles).map(PageFrame::sheet).collect(Collectors.joining());
  }

  private static String sheet(String style) {
    String path = style.startsWith("/") ? style : "/assets/" + style + ".css";
    return "<link rel=\"stylesheet\" href=\"" + path + "\">\n";
  }

  private static String script(String name) {
    return "<script type=\"module\" src=\"/assets/" + name + ".js\"></script>\n";
  }

  private static String read(String name) {
    try (InputStream in = PageFrame.class.getResourceAsStream(FOLDER + "/" + name)) {
      if (in == null) {
        throw new IllegalStateException("the jar lacks its page " + FOLDER + "/" + name);
      }
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
