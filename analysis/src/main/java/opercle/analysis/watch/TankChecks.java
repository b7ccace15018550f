// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import org.jspecify.annotations.Nullable;

/**
 * What can be told of a tank's probes, supply and water besides the figures: what somebody checks
 * before going to bed. A value. What cannot be told is empty, {@link Trust#UNKNOWN} or {@link
 * Supply#UNKNOWN}; it is never taken to be well.
 *
 * @param oxygenProbe whether the probe that speaks for the tank can be trusted
 * @param supply what the meters say of the gas against what is normal for this tank
 * @param cylinderMinutes how long the cylinder lasts at this flow, down to its reserve
 * @param warmingCPerHour how fast the water warms, °C an hour; negative when it cools
 * @param warmLimitC the warmest that this load should have, °C
 * @param origins where the tank's figures come from
 * @param belief what is made of each probe and meter, and why
 */
public record TankChecks(
    Trust oxygenProbe,
    Supply supply,
    OptionalDouble cylinderMinutes,
    OptionalDouble warmingCPerHour,
    OptionalDouble warmLimitC,
    Origins origins,
    Belief belief) {

  /** Nothing can be told. */
  public static final TankChecks UNKNOWN =
      new TankChecks(
          Trust.UNKNOWN,
          Supply.UNKNOWN,
          OptionalDouble.empty(),
          OptionalDouble.empty(),
          OptionalDouble.empty());

  /** The same where it is not told what is made of each probe and meter. */
  public TankChecks(
      Trust oxygenProbe,
      Supply supply,
      OptionalDouble cylinderMinutes,
      OptionalDouble warmingCPerHour,
      OptionalDouble warmLimitC,
      Origins origins) {
    this(
        oxygenProbe,
        supply,
        cylinderMinutes,
        warmingCPerHour,
        warmLimitC,
        origins,
        Belief.NOT_KNOWN);
  }

  /** The same where it is not told where the figures come from. */
  public TankChecks(
      Trust oxygenProbe,
      Supply supply,
      OptionalDouble cylinderMinutes,
      OptionalDouble warmingCPerHour,
      OptionalDouble warmLimitC) {
    this(oxygenProbe, supply, cylinderMinutes, warmingCPerHour, warmLimitC, Origins.NOT_KNOWN);
  }

  /** Whether an oxygen probe can be trusted. */
  public enum Trust {
    /** Nobody has said. */
    UNKNOWN,
    /** No oxygen probe has a fresh reading. */
    NONE,
    /** One is fresh, but it behaves as a probe in water does not. */
    DOUBTED,
    /** One is fresh and nothing speaks against it. */
    TRUSTED;

    /** The word in JSON. */
    public String id() {
      return name().toLowerCase(Locale.ROOT);
    }

    /** The value of that word; {@link #UNKNOWN} for any other. */
    public static Trust of(Optional<String> id) {
      for (Trust t : values()) {
        if (id.isPresent() && t.id().equals(id.get())) {
          return t;
        }
      }
      return UNKNOWN;
    }
  }

  /** Gas into a tank, against what is normal for it. */
  public enum Supply {
    /** Nobody has said. */
    UNKNOWN,
    /** No meter measures it now. */
    NOT_MEASURED,
    /** The meter sees none, or nearly none. */
    STOPPED,
    /** Less than three quarters of normal. */
    LOW,
    /** As usual, or more. */
    NORMAL;

    /** Whether a meter shows too little of it. */
    boolean isShort() {
      return this == STOPPED || this == LOW;
    }

    /** The word in JSON, for instance {@code not-measured}. */
    public String id() {
      return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    /** The value of that word; {@link #UNKNOWN} for any other. */
    public static Supply of(Optional<String> id) {
      for (Supply s : values()) {
        if (id.isPresent() && s.id().equals(id.get())) {
          return s;
        }
      }
      return UNKNOWN;
    }
  }

  /** What a tank's probes tell at one instant. */
  static TankChecks of(TankNow now, SlowChecks slow) {
    @Nullable OxygenProbe speaking = now.speaking();
    Trust trust =
        speaking == null
            ? Trust.NONE
            : speaking.doubt() == ProbeDoubt.NONE ? Trust.TRUSTED : Trust.DOUBTED;
    return new TankChecks(
        trust,
        TimedPauses.isPause(now, now.now) ? Supply.NORMAL : now.supply(),
        finite(slow.cylinderMinutes()),
        slow.warmingKnown() ? finite(slow.warmingPerHour()) : OptionalDouble.empty(),
        OptionalDouble.of(SlowChecks.warmLimitC(now.tank)),
        Origins.of(now),
        Belief.of(now));
  }

  private static OptionalDouble finite(double value) {
    return Double.isFinite(value) ? OptionalDouble.of(value) : OptionalDouble.empty();
  }
}
