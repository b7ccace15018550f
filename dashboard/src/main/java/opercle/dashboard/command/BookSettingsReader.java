// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.net.URI;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;
import opercle.analysis.book.BookServer;
import opercle.ingest.settings.Section;
import org.jspecify.annotations.Nullable;

/** Reads what {@code opercle.yaml} says of where the farm book is. */
final class BookSettingsReader {

  private static final String EXAMPLE = "postgresql://db.example:5432/opercle";
  private static final URI USUAL = URI.create("postgresql://127.0.0.1/opercle");

  /** By what is written, not by what somebody's name server makes of it. */
  private static final Pattern ON_THIS_MACHINE =
      Pattern.compile("localhost|127(\\.\\d{1,3}){3}|\\[::1]");

  private BookSettingsReader() {}

  /**
   * Reads the part {@code book} of the whole file; empty where the book is in the data folder.
   *
   * @param folder what paths are relative to
   */
  static Optional<BookServer> read(Section top, Path folder) {
    Optional<Section> book = top.optionalSection("book");
    Optional<BookServer> server =
        book.flatMap(s -> s.optionalSection("postgresql")).map(s -> server(s, folder));
    book.ifPresent(Section::finish);
    return server;
  }

  private static BookServer server(Section s, Path folder) {
    URI url = url(s);
    String host = url.getHost();
    boolean tls = tls(s, host);
    Optional<Path> caFile = ConfigurationReader.caFile(s, folder);
    if (caFile.isPresent() && !tls) {
      s.problem("caFile", "goes with tls: required only");
    }
    BookServer server =
        new BookServer(
            host,
            url.getPort() < 0 ? BookServer.USUAL_PORT : url.getPort(),
            url.getPath().substring(1),
            s.text("user"),
            ConfigurationReader.password(s, folder),
            tls,
            caFile);
    if (s.has("password")) {
      s.problem("password", "must stand in a file of its own: name that as passwordFile");
    }
    s.finish();
    return server;
  }

  /** Over a network the password and people's names are not sent in the open, unless it is said. */
  private static boolean tls(Section s, String host) {
    Map<String, Boolean> choices = new LinkedHashMap<>();
    choices.put("required", true);
    choices.put("none", false);
    return s.has("tls") ? s.choice("tls", choices) : !ON_THIS_MACHINE.matcher(host).matches();
  }

  private static URI url(Section s) {
    String text = s.text("url");
    if (text.isEmpty()) {
      return USUAL; // said already
    }
    @Nullable URI url;
    try {
      url = URI.create(text);
    } catch (IllegalArgumentException e) {
      url = null;
    }
    if (url != null && (url.getRawUserInfo() != null || url.getRawQuery() != null)) {
      s.problem(
          "url",
          "must hold neither user, password nor parameters; use the keys user and passwordFile");
      return USUAL;
    }
    boolean good =
        url != null
            && "postgresql".equals(url.getScheme())
            && url.getHost() != null
            && url.getPort() <= 65_535
            && url.getPath().matches("/[^/\\p{Cntrl}]{1,63}");
    if (url == null || !good) {
      s.problem(
          "url", "\"%s\" must be an address and a database, such as %s".formatted(text, EXAMPLE));
      return USUAL;
    }
    return url;
  }
}
