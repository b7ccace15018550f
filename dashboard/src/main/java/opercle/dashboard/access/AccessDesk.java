// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Supplier;
import opercle.analysis.book.BookException;
import opercle.analysis.book.FarmBook;
import opercle.dashboard.access.AccessBook.Kept;
import opercle.dashboard.access.AccessBook.Session;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The one door to users, sessions and tokens. Log-in is asked for from the first user on.
 *
 * <p>Where the book cannot be read, whoever was let in before is let in still, and nobody else: a
 * failing disk must not keep the keeper from the alarms. For any thread; may wait for the disk.
 */
public final class AccessDesk {

  private static final Logger log = LoggerFactory.getLogger(AccessDesk.class);
  private static final String TOKEN_START = "opercle_";
  private static final int MOST_REMEMBERED = 1_000;
  private static final Duration NOTE_AGAIN = Duration.ofMinutes(1);

  private final AccessBook book;
  private final SessionRules rules;
  private final InstantSource clock;
  private volatile Instant noteAgain = Instant.MIN;
  private final Passwords passwords = new Passwords();
  private final LogInThrottle throttle = new LogInThrottle(); // guarded by itself

  /** Who was let in last, by hash, for when the book cannot be read. */
  private final Map<String, Identity> letIn = new ConcurrentHashMap<>();

  /** What was read last; until something was, the careful guess. */
  private volatile boolean hadUsers = true;

  private volatile boolean failing;

  /**
   * @param book the farm book; empty while there is none
   * @param rules how long a log-in holds
   * @param clock the wall's
   */
  public AccessDesk(Supplier<Optional<FarmBook>> book, SessionRules rules, InstantSource clock) {
    this.book = new AccessBook(book);
    this.rules = rules;
    this.clock = clock;
  }

  /** One without users, for ever. */
  public static AccessDesk open() {
    return new AccessDesk(Optional::empty, SessionRules.USUAL, InstantSource.system());
  }

  /** How long a log-in holds at most. */
  public Duration longest() {
    return rules.most();
  }

  /** Whether there is a user, and so log-in is asked for. */
  public boolean hasUsers() {
    try {
      boolean has = book.hasUsers();
      hadUsers = has;
      failing = false;
      return has;
    } catch (BookException e) {
      complain(e);
      return hadUsers;
    }
  }

  /**
   * Tries to log in. A session that is there already is another one: none is taken over.
   *
   * @param address where the person is
   * @throws BookException if the session cannot be kept
   */
  public LogIn logIn(String name, String password, String address) {
    Instant now = clock.instant();
    String key = Names.key(name);
    Duration wait;
    synchronized (throttle) {
      wait = throttle.ask(key, address, now);
    }
    if (!wait.isZero()) {
      return new LogIn.Later(wait);
    }
    Optional<Kept> user = book.user(name);
    boolean right;
    try {
      right = user.isPresent() && passwords.matches(password, user.get().password());
      if (user.isEmpty()) {
        passwords.matchNobody(password);
      }
    } catch (Passwords.BusyException e) {
      return new LogIn.Later(Duration.ofSeconds(5));
    }
    if (!right) {
      log.warn("access: a log-in from {} was wrong", address);
      return new LogIn.Wrong();
    }
    synchronized (throttle) {
      throttle.succeeded(key, address);
    }
    String secret = Secrets.made();
    book.begin(Secrets.hash(secret), user.get(), now, now.minus(rules.most()));
    return new LogIn.Done(secret, identity(user.get().user()));
  }

  /** Whose session this is, if it holds. */
  public Optional<Identity> session(String secret) {
    String hash = Secrets.hash(secret);
    Instant now = clock.instant();
    return remembered(
        hash,
        () -> {
          Optional<Session> session =
              book.session(hash).filter(s -> rules.holds(s.since(), s.seen(), now));
          if (session.isPresent() && SessionRules.isWorthNoting(session.get().seen(), now)) {
            noted(() -> book.seen(hash, now));
          }
          return session.map(s -> identity(s.user().user()));
        });
  }

  /** Ends a session. */
  public void logOut(String secret) {
    String hash = Secrets.hash(secret);
    letIn.remove(hash);
    book.end(hash);
  }

  /** Whose token this is, if there is one. */
  public Optional<Identity> token(String secret) {
    if (!secret.startsWith(TOKEN_START)) {
      return Optional.empty();
    }
    String hash = Secrets.hash(secret);
    Instant now = clock.instant();
    return remembered(
        hash,
        () -> {
          Optional<ApiToken> token = book.token(hash);
          if (token.isPresent()
              && token
                  .get()
                  .used()
                  .map(used -> SessionRules.isWorthNoting(used, now))
                  .orElse(true)) {
            noted(() -> book.used(token.get(), now));
          }
          return token.map(t -> new Identity(t.name(), t.role(), true));
        });
  }

  public List<User> users() {
    return book.users();
  }

  public List<ApiToken> tokens() {
    return book.tokens();
  }

  /**
   * Adds a user.
   *
   * @throws RefusedAccessException if it cannot be, with the reason
   */
  public User add(String name, Role role, String password) {
    User user = new User(Names.checked(name), role, clock.instant());
    Passwords.check(name, password);
    if (!book.add(user, hash(password))) {
      throw new RefusedAccessException("There is a user %s already.".formatted(user.name()));
    }
    log.info("access: user {} was added with the role {}", user.name(), role.id());
    return user;
  }

  /**
   * Gives another role, which ends the user's sessions.
   *
   * @param mayLeaveNone whether nobody may be left who can manage
   * @throws RefusedAccessException if it cannot be, with the reason
   */
  public void setRole(String name, Role role, boolean mayLeaveNone) {
    User user = required(name);
    if (!book.setRole(name, role, mayLeaveNone)) {
      throw lastManager(user);
    }
    letIn.clear();
    log.info("access: user {} has the role {} now", user.name(), role.id());
  }

  /**
   * Sets another password, which ends the user's sessions.
   *
   * @throws RefusedAccessException if it cannot be, with the reason
   */
  public void setPassword(String name, String password) {
    User user = required(name);
    Passwords.check(name, password);
    book.setPassword(name, hash(password));
    letIn.clear();
    log.info("access: user {} has another password now", user.name());
  }

  /**
   * Removes a user and ends the sessions.
   *
   * @param mayLeaveNone whether nobody may be left who can manage
   * @throws RefusedAccessException if it cannot be, with the reason
   */
  public void remove(String name, boolean mayLeaveNone) {
    User user = required(name);
    if (!book.remove(name, mayLeaveNone)) {
      throw lastManager(user);
    }
    letIn.clear();
    log.info("access: user {} was removed", user.name());
  }

  /**
   * Makes a token.
   *
   * @param name what it is for
   * @param by who makes it
   * @throws RefusedAccessException if it cannot be, with the reason
   */
  public ApiToken.Made addToken(String name, Role role, String by) {
    String secret = TOKEN_START + Secrets.made();
    ApiToken token =
        new ApiToken(
            Secrets.id(), Names.checked(name), role, by, clock.instant(), Optional.empty());
    book.add(token, Secrets.hash(secret));
    log.info("access: token {} was made with the role {}", token.id(), role.id());
    return new ApiToken.Made(token, secret);
  }

  /**
   * Revokes a token.
   *
   * @throws RefusedAccessException if there is none
   */
  public void revokeToken(String id) {
    if (!book.revoke(id)) {
      throw new RefusedAccessException(
          "There is no such key; it may have been taken back already.");
    }
    letIn.clear();
    log.info("access: token {} was revoked", id);
  }

  private User required(String name) {
    return book.user(name)
        .orElseThrow(() -> new RefusedAccessException("There is no user %s.".formatted(name)))
        .user();
  }

  private static RefusedAccessException lastManager(User user) {
    return new RefusedAccessException(
        "%s is the last who can manage; give somebody else that role first."
            .formatted(user.name()));
  }

  private String hash(String password) {
    try {
      return passwords.hash(password);
    } catch (Passwords.BusyException e) {
      throw new RefusedAccessException("Many are logging in at this moment; try again.");
    }
  }

  private static Identity identity(User user) {
    return new Identity(user.name(), user.role(), false);
  }

  private interface Lookup {
    Optional<Identity> find();
  }

  private Optional<Identity> remembered(String hash, Lookup lookup) {
    try {
      Optional<Identity> found = lookup.find();
      failing = false;
      if (found.isEmpty()) {
        letIn.remove(hash);
      } else {
        if (letIn.size() >= MOST_REMEMBERED) {
          letIn.clear();
        }
        letIn.put(hash, found.get());
      }
      return found;
    } catch (BookException e) {
      complain(e);
      @Nullable Identity before = letIn.get(hash);
      return Optional.ofNullable(before);
    }
  }

  /** Not tried again for a minute where it failed: nobody's page waits for it each time. */
  private void noted(Runnable writing) {
    if (clock.instant().isBefore(noteAgain)) {
      return;
    }
    try {
      writing.run();
    } catch (BookException e) {
      noteAgain = clock.instant().plus(NOTE_AGAIN);
      complain(e); // it is used all the same
    }
  }

  private void complain(BookException e) {
    if (!failing) {
      log.error("access: {}", e.getMessage());
    }
    failing = true;
  }
}
