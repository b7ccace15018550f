// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.net.URI;
import java.time.InstantSource;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.calling.CallingPlan;
import opercle.analysis.calling.Target;

/**
 * Who can be called and by what, as the configuration says.
 *
 * @param plan who and when
 * @param ways by what, of every person and channel of the plan
 * @param publicUrl where the pages can be reached from a phone; empty: messages hold no link
 */
public record CallingSettings(CallingPlan plan, Map<Target, Way> ways, Optional<URI> publicUrl) {

  public CallingSettings {
    ways = Map.copyOf(ways);
  }

  /** By what somebody is told. */
  public sealed interface Way {

    /** Mail, to addresses with commas between. */
    record Mail(MailSettings server, String addresses) implements Way {}

    /** A POST to another system. */
    record Webhook(WebhookSettings settings) implements Way {}

    /** To the person's devices, which have asked for it on the pages. */
    record Push() implements Way {}
  }

  /** Whether there is anybody to call. */
  public boolean hasPeople() {
    return !plan.people().isEmpty();
  }

  /**
   * The channels that the settings describe.
   *
   * @param push the channel to everybody's devices
   */
  public Map<Target, Channel> channels(InstantSource clock, Channel push) {
    Map<Target, Channel> channels = new LinkedHashMap<>();
    ways.forEach(
        (target, way) -> {
          if (way instanceof Way.Mail mail) {
            channels.put(target, new MailChannel(mail.server(), mail.addresses()));
          } else if (way instanceof Way.Webhook webhook) {
            channels.put(target, new WebhookChannel(webhook.settings(), clock));
          } else {
            channels.put(target, push);
          }
        });
    return channels;
  }

  /** All channels of the plan, in order. */
  public List<Target> targets() {
    return plan.people().stream()
        .flatMap(p -> p.channels().stream().map(c -> new Target(p.name(), c)))
        .toList();
  }
}
