// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.security.Principal;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import javax.security.auth.Subject;
import org.apache.activemq.artemis.core.config.WildcardConfiguration;
import org.apache.activemq.artemis.core.protocol.mqtt.MQTTUtil;
import org.apache.activemq.artemis.core.protocol.mqtt.exceptions.InvalidClientIdException;
import org.apache.activemq.artemis.core.security.CheckType;
import org.apache.activemq.artemis.core.security.Role;
import org.apache.activemq.artemis.spi.core.protocol.RemotingConnection;
import org.apache.activemq.artemis.spi.core.security.ActiveMQSecurityManager5;
import org.apache.activemq.artemis.spi.core.security.jaas.UserPrincipal;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Decides who may use the embedded broker, and for which topics. Opercle's own services come with a
 * secret that is made anew at each start; everybody else must be named.
 *
 * <p>A client id belongs, until the next start, to the client that used it first, so that nobody
 * can push a probe from the line under its name; those that begin with {@code opercle} are
 * Opercle's own.
 *
 * <p>Safe for many threads.
 */
final class Doorkeeper implements ActiveMQSecurityManager5 {

  private static final Logger LOG = LoggerFactory.getLogger(Doorkeeper.class);

  /** Without the sign that the broker puts between a client id and a topic. */
  private static final Pattern CLIENT_ID = Pattern.compile("[A-Za-z0-9:_-]{1,128}");

  private static final String OWN_PREFIX = "opercle";
  private static final int MOST_CLIENT_IDS = 100;
  private static final int MOST_WARNINGS = 1_000;

  private final String ownSecret;
  private final Map<String, Known> clients;
  private final PasswordCheck passwords;
  private final WildcardConfiguration separators;
  private final Map<String, String> userOfClientId = new ConcurrentHashMap<>();
  private final Set<String> warned = ConcurrentHashMap.newKeySet();
  private final WrongPasswords wrong = new WrongPasswords();

  /** A client with what its rights mean, and the last password that was right, as a digest. */
  private static final class Known {
    private final BrokerClient client;
    private final List<TopicPattern> sends;
    private final List<TopicPattern> reads;
    private byte @Nullable [] rightDigest;

    Known(BrokerClient client) {
      this.client = client;
      this.sends = client.sends().stream().map(TopicPattern::of).toList();
      this.reads = client.reads().stream().map(TopicPattern::of).toList();
    }
  }

  Doorkeeper(
      String ownSecret,
      List<BrokerClient> clients,
      PasswordCheck passwords,
      WildcardConfiguration separators) {
    this.ownSecret = ownSecret;
    this.clients =
        clients.stream().map(Known::new).collect(Collectors.toMap(k -> k.client.name(), k -> k));
    this.passwords = passwords;
    this.separators = separators;
  }

  @Override
  public @Nullable Subject authenticate(
      @Nullable String user,
      @Nullable String password,
      @Nullable RemotingConnection connection,
      @Nullable String securityDomain) {
    if (user == null || password == null || connection == null) {
      return null;
    }
    String address = hostOf(connection);
    if (user.equals(EmbeddedBroker.OWN_USER)) {
      return same(digest(password), digest(ownSecret)) ? subject(user) : null;
    }
    if (!isRight(user, password, address)) {
      String shown = shortened(user);
      warnOnce(shown + " " + address, "refused {} from {}: wrong name or password", shown, address);
      return null;
    }
    String clientId = String.valueOf(connection.getClientID());
    if (!mayUse(user, clientId)) {
      warnOnce(
          user + " " + clientId,
          "refused {} the client id \"{}\": not its own",
          user,
          shortened(clientId));
      throw new InvalidClientIdException();
    }
    return subject(user);
  }

  /** The slow check of each password is done once; a probe that comes back costs nothing. */
  private boolean isRight(String user, String password, String address) {
    @Nullable Known known = clients.get(user);
    byte[] digest = digest(password);
    if (known != null) {
      synchronized (known) {
        byte @Nullable [] right = known.rightDigest;
        if (right != null && same(right, digest)) {
          return true;
        }
      }
    }
    String who = user + " " + address;
    if (known == null || !wrong.mayTry(who, System.nanoTime())) {
      return false;
    }
    if (!passwords.matches(password, known.client.passwordHash())) {
      wrong.note(who, System.nanoTime());
      return false;
    }
    synchronized (known) {
      known.rightDigest = digest;
    }
    return true;
  }

  private boolean mayUse(String user, String clientId) {
    if (!CLIENT_ID.matcher(clientId).matches() || clientId.startsWith(OWN_PREFIX)) {
      return false;
    }
    if (!userOfClientId.containsKey(clientId)
        && userOfClientId.values().stream().filter(user::equals).count() >= MOST_CLIENT_IDS) {
      return false; // a client that invents ids
    }
    return userOfClientId.computeIfAbsent(clientId, id -> user).equals(user);
  }

  /**
   * @param address the broker's form of a topic or filter; for a queue followed by its name
   */
  @Override
  public boolean authorize(Subject subject, Set<Role> roles, CheckType type, String address) {
    String user = getUserFromSubject(subject);
    if (user == null) {
      return false;
    }
    if (user.equals(EmbeddedBroker.OWN_USER)) {
      return true;
    }
    @Nullable Known known = clients.get(user);
    int split = address.indexOf("::");
    String where = split < 0 ? address : address.substring(0, split);
    String queue = split < 0 ? "" : address.substring(split + 2);
    String topic = MQTTUtil.getMqttTopicFromCoreAddress(where, separators);
    // Where the way back does not lead to the same place, it is not the topic that it looks like.
    boolean honest = MQTTUtil.getCoreAddressFromMqttTopic(topic, separators).equals(where);
    boolean allowed =
        known != null
            && honest
            && !queue.startsWith(OWN_PREFIX)
            && switch (type) {
              case SEND -> maySend(known, topic);
              // For both: a topic comes to be when it is first published or subscribed to.
              case CREATE_ADDRESS -> maySend(known, topic) || mayRead(known, topic);
              case CONSUME,
                  BROWSE,
                  CREATE_DURABLE_QUEUE,
                  DELETE_DURABLE_QUEUE,
                  CREATE_NON_DURABLE_QUEUE,
                  DELETE_NON_DURABLE_QUEUE ->
                  mayRead(known, topic);
              default -> false; // managing the broker
            };
    if (!allowed) {
      warnOnce(
          user + " " + type + " " + address,
          "refused {} the topic \"{}\": not among those that it may {}",
          user,
          shortened(topic),
          type == CheckType.SEND ? "send to" : "read");
    }
    return allowed;
  }

  /**
   * Whether a client may leave a last will on a topic. Of a name that is not known the password
   * decides, later.
   */
  boolean mayLeave(@Nullable String user, @Nullable String topic) {
    @Nullable Known known = user == null ? null : clients.get(user);
    if (known == null || topic == null || maySend(known, topic)) {
      return true;
    }
    warnOnce(
        user + " will " + topic,
        "refused {} with a last will on \"{}\": not among the topics that it may send to",
        shortened(String.valueOf(user)),
        shortened(topic));
    return false;
  }

  private static boolean maySend(Known known, String topic) {
    return known.sends.stream().anyMatch(pattern -> pattern.allowsTopic(topic));
  }

  private static boolean mayRead(Known known, String filter) {
    return known.reads.stream().anyMatch(pattern -> pattern.allowsFilter(filter));
  }

  /** Says each thing once, and after many nothing, as whoever tries could fill the disk. */
  private void warnOnce(String what, String words, Object... arguments) {
    if (warned.size() < MOST_WARNINGS && warned.add(shortened(what))) {
      LOG.warn("The MQTT broker " + words, arguments);
    }
  }

  private static String shortened(String text) {
    String line = text.replaceAll("\\p{Cntrl}", "?");
    return line.length() <= 100 ? line : line.substring(0, 100) + "…";
  }

  private static String hostOf(RemotingConnection connection) {
    String address = String.valueOf(connection.getRemoteAddress());
    int colon = address.lastIndexOf(':');
    return colon < 0 ? address : address.substring(0, colon);
  }

  private static Subject subject(String user) {
    Set<Principal> principals = Set.of(new UserPrincipal(user));
    return new Subject(true, principals, Set.of(), Set.of());
  }

  private byte[] digest(String password) {
    try {
      MessageDigest sha = MessageDigest.getInstance("SHA-256");
      sha.update(ownSecret.getBytes(UTF_8)); // of use to nobody after this process
      return sha.digest(password.getBytes(UTF_8));
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java has SHA-256", e);
    }
  }

  private static boolean same(byte[] one, byte[] other) {
    return MessageDigest.isEqual(one, other);
  }

  /** Not asked where {@link #authenticate} is there. */
  @Override
  public boolean validateUser(String user, String password) {
    return false;
  }

  /** Not asked where {@link #authorize} is there. */
  @Override
  public boolean validateUserAndRole(
      String user, String password, Set<Role> roles, CheckType checkType) {
    return false;
  }
}
