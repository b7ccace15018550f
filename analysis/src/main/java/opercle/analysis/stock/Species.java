// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import java.util.Arrays;
import java.util.Optional;

/**
 * The species that Opercle knows, with the ids used in farm descriptions and commands.
 *
 * <p>Floors are a ladder built from the limits gathered in the science notes (EIFAC, US EPA 1986
 * and EU fishery directives, from memory): cyprinids warn under 6 and are harmed under 2.5 mg/L;
 * perch and pike 6 and 3; trout 8 and 4.
 */
public enum Species {
  COMMON_CARP("common-carp", "common carp", Group.CYPRINID),
  CRUCIAN_CARP("crucian-carp", "crucian carp", Group.CYPRINID),
  TENCH("tench", "tench", Group.CYPRINID),
  BREAM("bream", "bream", Group.CYPRINID),
  ROACH("roach", "roach", Group.CYPRINID),
  RUDD("rudd", "rudd", Group.CYPRINID),
  PERCH("perch", "perch", Group.PERCH_AND_PIKE),
  PIKE("pike", "pike", Group.PERCH_AND_PIKE),
  RAINBOW_TROUT("rainbow-trout", "rainbow trout", Group.TROUT),
  BROWN_TROUT("brown-trout", "brown trout", Group.TROUT);

  /** Species that are treated alike where a source speaks of the group only. */
  public enum Group {
    CYPRINID(6.0, 2.5),
    PERCH_AND_PIKE(6.0, 3.0),
    TROUT(8.0, 4.0);

    private final double keepFloorMgPerL;
    private final double criticalFloorMgPerL;

    Group(double keepFloorMgPerL, double criticalFloorMgPerL) {
      this.keepFloorMgPerL = keepFloorMgPerL;
      this.criticalFloorMgPerL = criticalFloorMgPerL;
    }
  }

  private final String id;
  private final String commonName;
  private final Group group;

  Species(String id, String commonName, Group group) {
    this.id = id;
    this.commonName = commonName;
    this.group = group;
  }

  /** The id in farm descriptions and commands, for instance {@code common-carp}. */
  public String id() {
    return id;
  }

  /** The English name, as people say it. */
  public String commonName() {
    return commonName;
  }

  /** The group that the species is treated with. */
  public Group group() {
    return group;
  }

  /** The oxygen level at which the keeper must act, mg/L. */
  public double keepFloorMgPerL() {
    return group.keepFloorMgPerL;
  }

  /** The oxygen level below which the fish are being harmed, mg/L. */
  public double criticalFloorMgPerL() {
    return group.criticalFloorMgPerL;
  }

  /** The species of that id, or empty. */
  public static Optional<Species> of(String id) {
    return Arrays.stream(values()).filter(s -> s.id.equals(id)).findFirst();
  }
}
