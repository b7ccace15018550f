// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.net.InetAddress;
import java.net.URI;
import java.net.UnknownHostException;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.DayOfWeek;
import java.time.Duration;
import java.time.LocalTime;
import java.time.ZoneId;
import java.time.format.DateTimeParseException;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.calling.CallingPlan;
import opercle.analysis.calling.Hours;
import opercle.analysis.calling.Person;
import opercle.analysis.calling.TestTimes;
import opercle.ingest.settings.Section;

/**
 * Reads {@code timeZone}, {@code people}, {@code calling} and {@code mail} of the configuration.
 * What is wrong is noted in the section; go by the result only if nothing was. One thread, once.
 */
public final class CallingSettingsReader {

  private static final int USUAL_MAIL_PORT = 587;
  private static final int MOST_PATIENCE = 120;

  private final Section top;
  private final Path folder;

  /**
   * A reader of that file's top section.
   *
   * @param folder that paths are relative to
   */
  public CallingSettingsReader(Section top, Path folder) {
    this.top = top;
    this.folder = folder;
  }

  /**
   * Reads them.
   *
   * @param publicUrl where the pages can be reached from a phone
   */
  public CallingSettings read(Optional<URI> publicUrl) {
    ZoneId zone = zone();
    Optional<MailSettings> mail = top.optionalSection("mail").map(this::mail);
    List<Called> called = new PeopleReader(mail, new FileKeys(folder)).read(top);
    CallingPlan plan = plan(called.stream().map(Called::person).toList(), zone);
    return new CallingSettings(plan, called, mail, folder, publicUrl);
  }

  private ZoneId zone() {
    Optional<String> name = top.optionalText("timeZone");
    try {
      return name.map(ZoneId::of).orElse(ZoneId.systemDefault());
    } catch (DateTimeException e) {
      top.problem(
          "timeZone", "\"%s\" is not a time zone such as Europe/London".formatted(name.orElse("")));
      return ZoneId.systemDefault();
    }
  }

  private CallingPlan plan(List<Person> people, ZoneId zone) {
    Optional<Section> calling = top.optionalSection("calling");
    Hours night =
        calling
            .flatMap(s -> s.optionalSection("night"))
            .map(CallingSettingsReader::hours)
            .orElse(CallingPlan.USUAL_NIGHT);
    LocalTime morning = morning(calling, night);
    Duration patience = CallingPlan.USUAL_PATIENCE;
    Optional<TestTimes> tests =
        Optional.of(new TestTimes(awake(USUAL_TEST, night), Optional.empty()));
    if (calling.isPresent()) {
      Section s = calling.get();
      patience =
          Duration.ofSeconds(
              s.optionalWhole("patienceSeconds", "s", 1, MOST_PATIENCE)
                  .orElse((int) CallingPlan.USUAL_PATIENCE.toSeconds()));
      tests = s.optionalSection("test").map(t -> tests(t, night)).orElse(tests);
      s.finish();
    }
    return new CallingPlan(people, zone, night, morning, patience, tests);
  }

  private static LocalTime morning(Optional<Section> calling, Hours night) {
    Optional<LocalTime> told = calling.flatMap(s -> time(s, "summaryAt"));
    told.filter(at -> isWithin(night, at))
        .ifPresent(
            at ->
                calling.ifPresent(
                    s ->
                        s.problem(
                            "summaryAt",
                            "%s is in the night (%s to %s), when it would wake somebody"
                                .formatted(at, night.from(), night.to()))));
    return told.orElse(awake(CallingPlan.USUAL_MORNING, night));
  }

  private static final LocalTime USUAL_TEST = LocalTime.of(10, 0);

  /** A usual time, or the end of the night where it would fall in that. */
  private static LocalTime awake(LocalTime usual, Hours night) {
    return isWithin(night, usual) ? night.to() : usual;
  }

  private Optional<TestTimes> tests(Section s, Hours night) {
    Optional<LocalTime> told = time(s, "at");
    LocalTime at = told.orElse(awake(USUAL_TEST, night));
    Map<String, Optional<TestTimes>> choices = new LinkedHashMap<>();
    choices.put("day", Optional.of(new TestTimes(at, Optional.empty())));
    choices.put("week", Optional.of(new TestTimes(at, Optional.of(DayOfWeek.MONDAY))));
    choices.put("never", Optional.empty());
    Optional<TestTimes> tests =
        s.has("every") ? s.choice("every", choices) : choices.getOrDefault("day", Optional.empty());
    if (told.isPresent() && isWithin(night, at)) {
      s.problem("at", "%s is in the night, when a test would wake somebody".formatted(at));
    }
    s.finish();
    return tests;
  }

  /** A night that is as long as the day (from and to alike) has no time outside it to hold to. */
  private static boolean isWithin(Hours night, LocalTime at) {
    return !night.from().equals(night.to())
        && night.contain(
            at.atDate(java.time.LocalDate.EPOCH).toInstant(java.time.ZoneOffset.UTC),
            java.time.ZoneOffset.UTC);
  }

  /** An address to post to, or that people open; in the clear only on this machine. */
  public static Optional<URI> url(Section s, String key, String text) {
    if (text.isEmpty()) {
      return Optional.empty(); // said already
    }
    try {
      URI uri = URI.create(text);
      boolean web = "https".equals(uri.getScheme()) || "http".equals(uri.getScheme());
      if (web && uri.getHost() != null && uri.getRawUserInfo() == null) {
        if ("http".equals(uri.getScheme()) && !isThisMachine(uri.getHost())) {
          s.problem(key, "must begin with https:// unless it is on this machine");
          return Optional.empty();
        }
        return Optional.of(uri);
      }
    } catch (IllegalArgumentException e) {
      // said below
    }
    s.problem(key, "\"%s\" must be an address such as https://host/path".formatted(text));
    return Optional.empty();
  }

  static boolean isThisMachine(String host) {
    try {
      return InetAddress.getByName(host).isLoopbackAddress();
    } catch (UnknownHostException e) {
      return false;
    }
  }

  private MailSettings mail(Section s) {
    String host = s.text("host");
    int port = s.optionalWhole("port", "", 1, 65535).orElse(USUAL_MAIL_PORT);
    Map<String, MailSettings.Security> choices = new LinkedHashMap<>();
    choices.put("starttls", MailSettings.Security.STARTTLS);
    choices.put("tls", MailSettings.Security.TLS);
    choices.put("none", MailSettings.Security.NONE);
    MailSettings.Security security =
        s.has("security") ? s.choice("security", choices) : MailSettings.Security.STARTTLS;
    Optional<String> user = s.optionalText("user");
    Optional<String> password = new FileKeys(folder).secret(s, "passwordFile");
    String from = s.text("from");
    if (!from.isEmpty()) {
      try {
        MailChannel.addresses(from);
      } catch (IllegalArgumentException e) {
        s.problem("from", String.valueOf(e.getMessage()));
      }
    }
    if (user.isPresent() != s.has("passwordFile")) {
      s.problem("user", "user and passwordFile go together");
    }
    if (security == MailSettings.Security.NONE && !host.isEmpty() && !isThisMachine(host)) {
      s.problem("security", "none is for a mail server on this machine; use starttls or tls");
    }
    s.finish();
    return new MailSettings(host, port, security, user, password, from);
  }

  static Hours hours(Section s) {
    LocalTime from = time(s, "from").orElse(LocalTime.MIN);
    LocalTime to = time(s, "to").orElse(LocalTime.MIN);
    if (!s.has("from") || !s.has("to")) {
      s.problem("from", "hours need both from and to");
    }
    s.finish();
    return new Hours(from, to);
  }

  private static Optional<LocalTime> time(Section s, String key) {
    return s.optionalText(key)
        .flatMap(
            text -> {
              try {
                return Optional.of(LocalTime.parse(text));
              } catch (DateTimeParseException e) {
                s.problem(key, "\"%s\" is not a time of day such as \"07:00\"".formatted(text));
                return Optional.empty();
              }
            });
  }
}
