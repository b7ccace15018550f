// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

/**
 * The one thing to do first about an alarm, as a sentence for somebody woken at three in the
 * morning. Alarm messages end with one of these; the guide and its document say the same.
 */
public enum FirstAction {
  /** Gas has stopped, and it comes from a cylinder. */
  RESTORE_CYLINDER(
      "Go and get the oxygen flowing: look at valve, regulator, cylinder and hose, in that order."),
  /** Gas has stopped, and it comes from a blower. */
  RESTORE_BLOWER(
      "Go and get the blower running: look at power, blower, valve and hose, in that order."),
  /** The meter sees gas, the water does not. */
  FOLLOW_HOSE_TO_DIFFUSER("Look for bubbles, then follow the hose from the meter to the diffuser."),
  /** The water gets no gas, and no meter tells where it goes. */
  FOLLOW_HOSE("Look for bubbles, then follow the hose from the source to the diffuser."),
  /** The meter sees too little, and the source may be well. */
  FOLLOW_HOSE_TO_METER("Look for bubbles, then follow the hose from the source to the meter."),
  /** Gas seems to go on, but the water gets little of it. */
  LIFT_DIFFUSER("Look for bubbles, then lift the diffuser and look whether it is blocked."),
  /** The cylinder seems to be empty. */
  CHANGE_CYLINDER("Change over to a full cylinder."),
  /** The cylinder will not last. */
  READY_CYLINDER("Have a full cylinder ready, and change over before this one is down."),
  /** A valve seems to be shut. */
  OPEN_VALVES("Look whether every valve to this tank is open, then whether gas comes."),
  /** Oxygen is short, and gas is there. */
  MORE_GAS("Give more gas and look at the fish."),
  /** There is more oxygen than is good. */
  LESS_GAS("Look for bubbles on the probe; if there are none, turn the gas down a little."),
  /** The load takes more than the supply gives. */
  LIGHTEN("Give more gas; if that does not help, take fish out."),
  /** The water is warm or warming. */
  SHADE("Give more gas, then shade the tank; cool it slowly if you must cool it."),
  /** Nothing is known, and the last that was heard was a fall. */
  LOOK_AT_FISH("Go and look: at the fish, and for bubbles."),
  /** The fall may be the probe's. */
  LOOK_THEN_CHECK_PROBE("Look for bubbles and at the fish, then check the probe."),
  /** No probe watches the oxygen of the tank any more, for none is heard. */
  LOOK_THEN_CHECK_LINK("Go and look at the fish, then check probe, cable and power."),
  /** A stocked tank that was never heard: it may be wired or named wrongly. */
  LOOK_THEN_CHECK_TOPIC(
      "Look at the fish, then check probe, cable, power and the tank in the name that it sends under."),
  /** A probe is not heard; another one watches. */
  CHECK_LINK("Check probe, cable and power."),
  /** The only oxygen probe is not to be trusted. */
  LOOK_THEN_SEE_PROBE(
      "Go and look at the fish, then see whether the probe is clean and in the water."),
  /** A probe is not to be trusted; another one watches. */
  SEE_PROBE("See whether the probe is clean and in the water."),
  /** A gas meter says nothing of the gas any more. */
  SEE_METER("See whether bubbles rise, then whether the meter is stuck or unplugged."),
  /** Two probes tell different things. */
  COMPARE_PROBES("Look at the fish by the lower probe, then for a dead corner or a fouled probe."),
  /** These fish have been here long enough. */
  MOVE_ON("Plan to move these fish on, or give them more room."),
  /** The water carries too much of what the fish give off. */
  CHANGE_WATER("Stop feeding, and change part of the water, slowly.");

  private final String sentence;

  FirstAction(String sentence) {
    this.sentence = sentence;
  }

  /** The sentence, with its full stop. */
  public String sentence() {
    return sentence;
  }
}
