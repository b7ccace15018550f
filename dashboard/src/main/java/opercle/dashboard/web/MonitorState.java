// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Duration;
import java.util.Optional;

/**
 * How the parts that the monitor stands on are just now, as far as this process knows. Immutable.
 *
 * @param intake where this process takes readings in
 * @param broker the link to the broker
 * @param store where this process writes readings; well while it takes them
 * @param disk of the data folder
 * @param spool before an InfluxDB, where readings are kept in one
 */
public record MonitorState(
    Optional<Intake> intake,
    Optional<Part> broker,
    Optional<Part> store,
    Optional<Disk> disk,
    Optional<Spool> spool) {

  /** Nothing is known. */
  public static final MonitorState UNKNOWN =
      new MonitorState(
          Optional.empty(), Optional.empty(), Optional.empty(), Optional.empty(), Optional.empty());

  /**
   * What has come in since the start.
   *
   * @param messages dealt with
   * @param readings taken
   * @param dropped messages of QoS 0 that were dropped because store or watch did not keep up
   * @param behind how long the readings in hand have waited
   */
  public record Intake(long messages, long readings, long dropped, Duration behind) {}

  /**
   * One part.
   *
   * @param well whether it does its work
   * @param words why not
   */
  public record Part(boolean well, Optional<String> words) {

    /** Well unless there is something to say. */
    public static Part of(Optional<String> trouble) {
      return new Part(trouble.isEmpty(), trouble);
    }
  }

  /**
   * A trouble of the monitor that people are called for.
   *
   * @param id the trouble's
   * @param words what, a sentence
   * @param by who has it
   */
  public record Called(String id, String words, Optional<String> by) {}

  /**
   * A disk's room.
   *
   * @param freeBytes for us to use
   * @param totalBytes in all
   */
  public record Disk(long freeBytes, long totalBytes) {}

  /**
   * The readings on this machine that an InfluxDB is to get.
   *
   * @param influxTakes whether it takes them just now
   * @param waiting age of the oldest that it lacks; zero where it lacks none
   * @param bytes on the disk, with those that it has
   */
  public record Spool(boolean influxTakes, Duration waiting, long bytes) {}
}
