// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.nio.file.Path;
import java.time.Duration;
import java.time.InstantSource;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.function.Supplier;
import javax.net.ssl.SSLContext;
import opercle.analysis.book.FarmBook;
import opercle.dashboard.access.AccessDesk;
import opercle.dashboard.access.SessionRules;
import opercle.dashboard.web.DashboardSettings;
import opercle.dashboard.web.Entrance;
import opercle.dashboard.web.TlsFiles;
import opercle.dashboard.web.TrustedProxies;
import opercle.ingest.settings.Problem;
import opercle.ingest.settings.Section;
import opercle.ingest.settings.UnusableInputException;

/**
 * What the configuration says of who gets in to the pages.
 *
 * @param rules how long a log-in holds
 * @param proxies whose word counts about who asks
 * @param tls the certificate of the pages, if they have one
 */
record Door(SessionRules rules, TrustedProxies proxies, Optional<TlsFiles> tls) {

  private static final int MOST_HOURS = 8_760;
  private static final int MOST_DAYS = 400;

  /** Where the configuration says nothing. */
  static final Door USUAL = new Door(SessionRules.USUAL, TrustedProxies.NONE, Optional.empty());

  /** Reads it from the part {@code dashboard}, which tells what is wrong. */
  static Door read(Section s, Path folder) {
    return new Door(rules(s), proxies(s), s.optionalSection("tls").flatMap(t -> tls(t, folder)));
  }

  /** Reads the two files, and tells what is wrong with them. */
  static Optional<TlsFiles> tls(Section s, Path folder) {
    String certificates = s.text("certificateFile");
    String key = s.text("keyFile");
    s.finish();
    if (certificates.isEmpty() || key.isEmpty()) {
      return Optional.empty(); // said already
    }
    TlsFiles files = new TlsFiles(folder.resolve(certificates), folder.resolve(key));
    try {
      SSLContext unused = files.read();
      return Optional.of(files);
    } catch (IllegalArgumentException e) {
      s.problem("certificateFile", String.valueOf(e.getMessage()));
      return Optional.empty();
    }
  }

  private static SessionRules rules(Section s) {
    OptionalInt idle = s.optionalWhole("sessionIdleHours", "h", 1, MOST_HOURS);
    OptionalInt most = s.optionalWhole("sessionDays", "days", 1, MOST_DAYS);
    Duration unused =
        idle.isPresent() ? Duration.ofHours(idle.getAsInt()) : SessionRules.USUAL.idle();
    Duration inAll =
        most.isPresent() ? Duration.ofDays(most.getAsInt()) : SessionRules.USUAL.most();
    if (idle.isPresent() && unused.compareTo(inAll) > 0) {
      s.problem(
          "sessionIdleHours",
          "%d h is longer than a log-in lasts in all, sessionDays, %d days"
              .formatted(unused.toHours(), inAll.toDays()));
    }
    return new SessionRules(unused.compareTo(inAll) > 0 ? inAll : unused, inAll);
  }

  private static TrustedProxies proxies(Section s) {
    List<String> ranges =
        s.optionalText("trustedProxies").stream()
            .flatMap(text -> Arrays.stream(text.split("[,\\s]+")))
            .filter(text -> !text.isEmpty())
            .toList();
    try {
      return TrustedProxies.of(ranges);
    } catch (IllegalArgumentException e) {
      s.problem("trustedProxies", String.valueOf(e.getMessage()));
      return TrustedProxies.NONE;
    }
  }

  String scheme() {
    return tls.isPresent() ? "https" : "http";
  }

  /** Users, sessions and tokens in the farm book. */
  AccessDesk access(Supplier<Optional<FarmBook>> book) {
    return new AccessDesk(book, rules, InstantSource.system());
  }

  /**
   * Where the pages are served, and who gets in.
   *
   * @param book the farm book; empty while there is none
   * @throws UnusableInputException if other machines could reach pages that nobody can log in to
   */
  DashboardSettings settings(Configuration c, Supplier<Optional<FarmBook>> book) {
    AccessDesk access = access(book);
    if (!DashboardSettings.isLoopback(c.dashboardHost()) && !access.hasUsers()) {
      throw new UnusableInputException(
          new Problem(
              c.file(),
              0,
              "dashboard.host",
              "\"%s\" can be reached from other machines, and there is nobody yet who could log in;"
                      .formatted(c.dashboardHost())
                  + " first make a user: opercle user add NAME --role manage --config "
                  + c.file()));
    }
    return new DashboardSettings(
        c.dashboardHost(), c.dashboardPort(), c.names(), new Entrance(access, proxies, tls));
  }
}
