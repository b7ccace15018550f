// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.monitor;

/**
 * How much room a disk has. Limits are <i>common practice</i>: nearly full under 2 GiB or a tenth
 * of the disk, whichever is less; full under 256 MiB or a fortieth. It is taken to be better only
 * when there is a quarter more, so that a file that comes and goes makes no news.
 */
public enum DiskRoom {
  ENOUGH,
  NEARLY_FULL,
  FULL;

  private static final long MIB = 1L << 20;
  private static final double BETTER_ABOVE = 1.25;

  /** The room there is now, where it was this before. */
  public DiskRoom next(long freeBytes, long totalBytes) {
    long nearly = Math.min(2048 * MIB, totalBytes / 10);
    long full = Math.min(256 * MIB, totalBytes / 40);
    if (freeBytes < full || (this == FULL && freeBytes < BETTER_ABOVE * full)) {
      return FULL;
    }
    if (freeBytes < nearly || (this != ENOUGH && freeBytes < BETTER_ABOVE * nearly)) {
      return NEARLY_FULL;
    }
    return ENOUGH;
  }
}
