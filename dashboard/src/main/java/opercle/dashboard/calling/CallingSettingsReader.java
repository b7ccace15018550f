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
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.calling.CallingPlan;
import opercle.analysis.calling.Hours;
import opercle.analysis.calling.Person;
import opercle.analysis.calling.Target;
import opercle.analysis.calling.TestTimes;
import opercle.dashboard.calling.CallingSettings.Way;
import opercle.ingest.settings.Section;
import opercle.ingest.settings.UnusableInputException;
import opercle.ingest.settings.YamlFile;

/**
 * Reads {@code timeZone}, {@code people}, {@code calling} and {@code mail} of the configuration.
 * What is wrong is noted in the section; go by the result only if nothing was. One thread, once.
 */
public final class CallingSettingsReader {

  private static final int USUAL_MAIL_PORT = 587;
  private static final int LONGEST_NAME = 60;
  private static final int MOST_PATIENCE = 120;

  private final Section top;
  private final Path folder;
  private final Map<Target, Way> ways = new LinkedHashMap<>();

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
    List<Person> people = new ArrayList<>();
    Set<String> names = new HashSet<>();
    for (Section s : top.sections("people")) {
      Optional<Person> person = person(s, mail);
      person.ifPresent(
          p -> {
            if (!names.add(p.name().toLowerCase(Locale.ROOT))) {
              s.problem("name", "\"%s\" is there twice".formatted(p.name()));
            }
            people.add(p);
          });
    }
    CallingPlan plan = plan(people, zone);
    return new CallingSettings(plan, ways, publicUrl);
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
            .map(this::hours)
            .orElse(CallingPlan.USUAL_NIGHT);
    LocalTime morning =
        calling.flatMap(s -> time(s, "summaryAt")).orElse(CallingPlan.USUAL_MORNING);
    Duration patience = CallingPlan.USUAL_PATIENCE;
    Optional<TestTimes> tests = Optional.of(new TestTimes(USUAL_TEST, Optional.empty()));
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

  private static final LocalTime USUAL_TEST = LocalTime.of(10, 0);

  private Optional<TestTimes> tests(Section s, Hours night) {
    LocalTime at = time(s, "at").orElse(USUAL_TEST);
    Map<String, Optional<TestTimes>> choices = new LinkedHashMap<>();
    choices.put("day", Optional.of(new TestTimes(at, Optional.empty())));
    choices.put("week", Optional.of(new TestTimes(at, Optional.of(DayOfWeek.MONDAY))));
    choices.put("never", Optional.empty());
    Optional<TestTimes> tests =
        s.has("every") ? s.choice("every", choices) : choices.getOrDefault("day", Optional.empty());
    if (isWithin(night, at)) {
      s.problem("at", "%s is in the night, when a test would wake somebody".formatted(at));
    }
    s.finish();
    return tests;
  }

  private static boolean isWithin(Hours night, LocalTime at) {
    return night.contain(
        at.atDate(java.time.LocalDate.EPOCH).toInstant(java.time.ZoneOffset.UTC),
        java.time.ZoneOffset.UTC);
  }

  private Optional<Person> person(Section s, Optional<MailSettings> mail) {
    String name = s.text("name");
    if (name.length() > LONGEST_NAME || name.codePoints().anyMatch(Character::isISOControl)) {
      s.problem("name", "must be one line of at most %d letters".formatted(LONGEST_NAME));
      name = "";
    }
    Optional<Hours> onCall = s.optionalSection("hours").map(this::hours);
    List<String> channels = new ArrayList<>();
    for (Section c : s.sectionsOrWords("channels")) {
      Optional<Way> way = way(c, mail);
      if (way.isPresent()) {
        String channel = numbered(kind(way.get()), channels);
        channels.add(channel);
        ways.put(new Target(name, channel), way.get());
      }
      c.finish();
    }
    boolean noWay = s.sectionsOrWords("channels").isEmpty();
    if (noWay) {
      s.problem("channels", "needs one way at least to reach them: mail, webhook or push");
    }
    s.finish();
    return name.isBlank() || channels.isEmpty()
        ? Optional.empty() // said already
        : Optional.of(new Person(name, channels, onCall));
  }

  private static String kind(Way way) {
    return way instanceof Way.Mail ? "mail" : way instanceof Way.Webhook ? "webhook" : "push";
  }

  /** A second channel of a kind is told from the first by a number. */
  private static String numbered(String kind, List<String> channels) {
    long before = channels.stream().filter(c -> c.startsWith(kind)).count();
    return before == 0 ? kind : kind + "-" + (before + 1);
  }

  private Optional<Way> way(Section c, Optional<MailSettings> mail) {
    boolean hasMail = c.has("mail");
    boolean hasWebhook = c.has("webhook");
    boolean hasPush = c.has("push");
    if (hasMail) {
      return mailWay(c, mail);
    }
    if (hasWebhook) {
      return c.optionalSection("webhook").flatMap(this::webhook).map(Way.Webhook::new);
    }
    if (hasPush) {
      return Optional.of(new Way.Push());
    }
    return Optional.empty(); // finish tells the unknown key
  }

  private Optional<Way> mailWay(Section c, Optional<MailSettings> mail) {
    String addresses = c.text("mail");
    if (!top.has("mail")) {
      c.problem("mail", "needs a mail server: the section mail of this file");
      return Optional.empty();
    }
    try {
      MailChannel.addresses(addresses);
    } catch (IllegalArgumentException e) {
      c.problem("mail", String.valueOf(e.getMessage()));
      return Optional.empty();
    }
    return mail.map(server -> new Way.Mail(server, addresses));
  }

  private Optional<WebhookSettings> webhook(Section s) {
    String text = s.text("url");
    Optional<String> secret = secret(s, "secretFile");
    WebhookSettings.Format format =
        s.has("format")
            ? s.choice(
                "format",
                new LinkedHashMap<>(
                    Map.of("json", WebhookSettings.Format.JSON, "cap", WebhookSettings.Format.CAP)))
            : WebhookSettings.Format.JSON;
    s.finish();
    Optional<URI> url = url(s, "url", text);
    return url.map(u -> new WebhookSettings(u, secret, format));
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

  private static boolean isThisMachine(String host) {
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
    Optional<String> password = secret(s, "passwordFile");
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

  private Optional<String> secret(Section s, String key) {
    Optional<String> file = s.optionalText(key);
    if (file.isEmpty()) {
      return Optional.empty();
    }
    try {
      String secret = YamlFile.read(folder.resolve(file.get())).strip();
      if (secret.isEmpty()) {
        s.problem(key, "%s is empty".formatted(file.get()));
        return Optional.empty();
      }
      return Optional.of(secret);
    } catch (UnusableInputException e) {
      s.problem(key, e.problems().get(0).message() + ": " + file.get());
      return Optional.empty();
    }
  }

  private Hours hours(Section s) {
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
