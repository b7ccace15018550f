// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;

/**
 * Where fish are held or go to: a pond, a tank, a fishery.
 *
 * @param name what the keeper calls it
 * @param type what it is
 * @param site the site that it belongs to
 * @param place a grid reference or an address
 * @param holder whose it is: a {@link Party}; empty: the farm's own
 * @param tank the id of the farm's tank that it is; empty: none, or not said
 * @param connection whether water can come in or go out of it
 * @param note anything else
 */
public record Water(
    String name,
    Type type,
    Optional<String> site,
    Optional<String> place,
    Optional<String> holder,
    Optional<String> tank,
    Connection connection,
    Optional<String> note)
    implements Entry {

  /** What a water is. */
  public enum Type {
    /** Of a fish farm. */
    POND,
    /** Of a fish farm. */
    TANK,
    /** A still water that is fished. */
    FISHERY,
    /** A river, a canal, any other inland water. */
    OPEN_WATER,
    GARDEN_POND;

    /** The word for it. */
    public String id() {
      return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    boolean isFarm() {
      return this == POND || this == TANK;
    }

    boolean isInland() {
      return this == FISHERY || this == OPEN_WATER;
    }

    static Optional<Type> of(String id) {
      return Stream.of(values()).filter(t -> t.id().equals(id)).findFirst();
    }
  }

  /** Whether it has an inlet or an outlet, or lies where it floods. */
  public enum Connection {
    CONNECTED,
    ENCLOSED,
    NOT_SAID;

    /** The word for it. */
    public String id() {
      return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    static Optional<Connection> of(String id) {
      return Stream.of(values()).filter(c -> c.id().equals(id)).findFirst();
    }
  }

  /** A water that is no tank of the farm, or of which nobody has said so. */
  public Water(
      String name,
      Type type,
      Optional<String> site,
      Optional<String> place,
      Optional<String> holder,
      Connection connection,
      Optional<String> note) {
    this(name, type, site, place, holder, Optional.empty(), connection, note);
  }

  public Water {
    name = Limits.line("name", name);
    site = Limits.line("site", site);
    place = Limits.line("place", place);
    tank = Limits.line("tank", tank);
    note = Limits.note("note", note);
  }

  @Override
  public Kind kind() {
    return Kind.WATER;
  }

  @Override
  public List<Named> named() {
    return holder.stream().map(id -> new Named("holder", Kind.PARTY, id)).toList();
  }

  @Override
  public String title() {
    return site.map(s -> name + ", " + s).orElse(name);
  }
}
