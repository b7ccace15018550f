// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.net.InetAddress;
import java.net.NetworkInterface;
import java.net.SocketException;
import java.net.URI;
import java.net.UnknownHostException;
import java.util.Map;
import java.util.Optional;
import opercle.dashboard.calling.CallingSettings.Way;
import opercle.ingest.settings.Section;

/**
 * Secrets as somebody types them on a page, where they are never shown again: a way that is to stay
 * is named.
 *
 * @param before the ways that the person has, by the names of their channels
 */
record TypedKeys(Map<String, Way> before) implements WebhookKeys {

  private static final int LONGEST = 200;

  @Override
  public Key key(Section webhook) {
    Optional<String> secret = webhook.optionalText("secret");
    boolean strange =
        secret
            .filter(t -> t.length() > LONGEST || t.codePoints().anyMatch(Character::isISOControl))
            .isPresent();
    if (strange) {
      webhook.problem("secret", "must be one line of at most %d letters".formatted(LONGEST));
    }
    return new Key(secret, Optional.empty());
  }

  /**
   * From a page nobody may make this machine post to its own services. A name is looked up as it is
   * typed and may lead elsewhere later; what is left then is that a service of this machine is
   * greeted by TLS. Nothing is posted to it, as it has no certificate for that name, and no answer
   * is ever shown.
   */
  @Override
  public Optional<String> objection(URI url) {
    return "https".equals(url.getScheme()) && !leadsHere(url.getHost())
        ? Optional.empty()
        : Optional.of(
            "must begin with https:// and lead to another machine; one on this machine is set in"
                + " opercle.yaml");
  }

  /** By any of its addresses: every one of this machine, and those that lead to itself anywhere. */
  private static boolean leadsHere(String host) {
    try {
      for (InetAddress address : InetAddress.getAllByName(host)) {
        if (address.isLoopbackAddress()
            || address.isAnyLocalAddress()
            || address.isLinkLocalAddress()
            || NetworkInterface.getByInetAddress(address) != null) {
          return true;
        }
      }
      return false;
    } catch (UnknownHostException e) {
      return false; // it may come to be known; what it leads to then is told by the next test
    } catch (SocketException e) {
      return true;
    }
  }

  @Override
  public Optional<Way> kept(Section channel) {
    if (!channel.has("keep")) {
      return Optional.empty();
    }
    String name = channel.text("keep");
    Optional<Way> way = Optional.ofNullable(before.get(name));
    if (way.isEmpty()) {
      channel.problem("keep", "there is no \"%s\" to keep any more".formatted(name));
    }
    return way;
  }
}
