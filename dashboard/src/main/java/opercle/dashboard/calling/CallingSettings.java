// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.net.URI;
import java.nio.file.Path;
import java.time.InstantSource;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.calling.CallingPlan;
import opercle.analysis.calling.Delivery;
import opercle.analysis.calling.Target;

/**
 * Who can be called and by what.
 *
 * @param plan who and when
 * @param called the same people, with all that their ways need
 * @param mail the mail server; empty: there is none, and nobody can be called by mail
 * @param folder that files of secrets are relative to
 * @param publicUrl where the pages can be reached from a phone; empty: messages hold no link
 */
public record CallingSettings(
    CallingPlan plan,
    List<Called> called,
    Optional<MailSettings> mail,
    Path folder,
    Optional<URI> publicUrl) {

  public CallingSettings {
    called = List.copyOf(called);
  }

  /** By what somebody is told. */
  public sealed interface Way {

    /** What the configuration calls it. */
    String kind();

    /** Mail, to addresses with commas between. */
    record Mail(MailSettings server, String addresses) implements Way {
      @Override
      public String kind() {
        return "mail";
      }
    }

    /**
     * A POST to another system.
     *
     * @param secretFile where what signs it is kept; empty: nothing is signed
     * @param broken why nothing can be sent by it, in words; empty: it can
     */
    record Webhook(WebhookSettings settings, Optional<String> secretFile, Optional<String> broken)
        implements Way {
      @Override
      public String kind() {
        return "webhook";
      }
    }

    /** To the person's devices, which have asked for it on the pages. */
    record Push() implements Way {
      @Override
      public String kind() {
        return "push";
      }
    }
  }

  /** Whether there is anybody to call. */
  public boolean hasPeople() {
    return !called.isEmpty();
  }

  /** The same with other people. */
  CallingSettings with(List<Called> others) {
    CallingPlan plan =
        new CallingPlan(
            others.stream().map(Called::person).toList(),
            this.plan.zone(),
            this.plan.night(),
            this.plan.morning(),
            this.plan.patience(),
            this.plan.tests());
    return new CallingSettings(plan, others, mail, folder, publicUrl);
  }

  /** By what, of every person and channel of the plan, in order. */
  public Map<Target, Way> ways() {
    Map<Target, Way> ways = new LinkedHashMap<>();
    called.forEach(c -> ways.putAll(c.targets()));
    return ways;
  }

  /**
   * The channels that the settings describe.
   *
   * @param push the channel to everybody's devices
   */
  public Map<Target, Channel> channels(InstantSource clock, Channel push) {
    Map<Target, Channel> channels = new LinkedHashMap<>();
    ways()
        .forEach(
            (target, way) -> {
              if (way instanceof Way.Mail mail) {
                channels.put(target, new MailChannel(mail.server(), mail.addresses()));
              } else if (way instanceof Way.Webhook webhook) {
                channels.put(target, channel(webhook, clock));
              } else {
                channels.put(target, push);
              }
            });
    return channels;
  }

  /** One that is broken refuses at once, so that the next way is taken and this one is told of. */
  private static Channel channel(Way.Webhook webhook, InstantSource clock) {
    return webhook
        .broken()
        .<Channel>map(why -> message -> Delivery.refused(why))
        .orElseGet(() -> new WebhookChannel(webhook.settings(), clock));
  }

  /** All channels of the plan, in order. */
  public List<Target> targets() {
    return List.copyOf(ways().keySet());
  }
}
