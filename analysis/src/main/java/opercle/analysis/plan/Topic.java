// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

/** What a plan looks at, in the order that it is told. */
public enum Topic {
  TIME_IN_HAND("time-in-hand", "Time in hand"),
  OXYGEN("oxygen", "Oxygen"),
  GAS_FLOW("gas-flow", "Gas flow"),
  CYLINDER("cylinder", "Cylinder"),
  TEMPERATURE("temperature", "Temperature"),
  WARMING("warming", "Warming"),
  DENSITY("density", "Density"),
  CARBON_DIOXIDE("carbon-dioxide", "Carbon dioxide"),
  AMMONIA("ammonia", "Ammonia"),
  SUPERSATURATION("supersaturation", "Too much oxygen");

  private final String id;
  private final String words;

  Topic(String id, String words) {
    this.id = id;
    this.words = words;
  }

  /** The word that programs read, for instance {@code time-in-hand}. */
  public String id() {
    return id;
  }

  /** The words that people read. */
  public String words() {
    return words;
  }
}
