// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import java.util.Arrays;
import java.util.Optional;

/**
 * The species that Opercle knows, with the ids used in farm descriptions and commands.
 *
 * <p>What is known of each (oxygen limits, temperatures, demand, densities) stands in the classes
 * of this package, with its source. Many species have no published value of their own; they are
 * then taken as a relative, their bands are widened, and the figure's source says so.
 */
public enum Species {
  COMMON_CARP("common-carp", "common carp", "Cyprinus carpio", Group.CYPRINID, 1.0),
  CRUCIAN_CARP("crucian-carp", "crucian carp", "Carassius carassius", Group.CYPRINID, 0.3),
  TENCH("tench", "tench", "Tinca tinca", Group.CYPRINID, 0.7),
  BREAM("bream", "bream", "Abramis brama", Group.CYPRINID, 1.0),
  ROACH("roach", "roach", "Rutilus rutilus", Group.CYPRINID, 0.2),
  RUDD("rudd", "rudd", "Scardinius erythrophthalmus", Group.CYPRINID, 0.2),
  PERCH("perch", "perch", "Perca fluviatilis", Group.PERCH_AND_PIKE, 0.2),
  PIKE("pike", "pike", "Esox lucius", Group.PERCH_AND_PIKE, 2.0),
  RAINBOW_TROUT("rainbow-trout", "rainbow trout", "Oncorhynchus mykiss", Group.TROUT, 0.5),
  BROWN_TROUT("brown-trout", "brown trout", "Salmo trutta", Group.TROUT, 0.5);

  /**
   * Species that are treated alike where a source speaks of the group only.
   *
   * <p>The floors are a ladder of our own, built from EIFAC Technical Paper 54 (1993), US EPA
   * (1986) and Directive 2006/44/EC, all from memory, and from the critical levels measured; see
   * {@link OxygenLimits}.
   */
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
  private final String scientificName;
  private final Group group;
  private final double usualMassKg;

  Species(String id, String commonName, String scientificName, Group group, double usualMassKg) {
    this.id = id;
    this.commonName = commonName;
    this.scientificName = scientificName;
    this.group = group;
    this.usualMassKg = usualMassKg;
  }

  /** The id in farm descriptions and commands, for instance {@code common-carp}. */
  public String id() {
    return id;
  }

  /** The English name, as people say it. */
  public String commonName() {
    return commonName;
  }

  /**
   * Whether somebody who wrote this name down meant it.
   *
   * @param name English, or our id; upper and lower case are the same
   */
  public boolean isCalled(String name) {
    String said = name.strip().replaceAll("\\s+", " ");
    return said.equalsIgnoreCase(commonName) || said.equalsIgnoreCase(id);
  }

  /** The scientific name. */
  public String scientificName() {
    return scientificName;
  }

  /** The group that the species is treated with. */
  public Group group() {
    return group;
  }

  /**
   * The body mass to reckon with where a load was not counted, kg: a usual size of fish that are
   * moved (<i>common practice</i>).
   */
  public double usualMassKg() {
    return usualMassKg;
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
