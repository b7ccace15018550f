// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.monitor;

import java.util.Arrays;
import java.util.List;

/**
 * The rationale of one trouble of the monitor. One source for the messages to people and
 * docs/alarms.md; what to do stands with the kind, for the pages and MQTT tell it too.
 *
 * @param kind which trouble
 * @param title what it says in a few words
 * @param ifIgnored what comes of it if nobody does anything
 */
public record TroubleGuide(TroubleKind kind, String title, String ifIgnored) {

  private static final String BLIND = "If gas stops now, nobody is told of it.";

  /** Of every trouble, in the order of {@link TroubleKind}. */
  public static List<TroubleGuide> all() {
    return Arrays.stream(TroubleKind.values()).map(TroubleGuide::of).toList();
  }

  /** Of one trouble. */
  public static TroubleGuide of(TroubleKind kind) {
    return switch (kind) {
      case BROKER_LOST -> new TroubleGuide(kind, "No probe is heard", BLIND);
      case STORE_UNWRITABLE -> new TroubleGuide(kind, "Readings cannot be stored", BLIND);
      case DATABASE_AWAY ->
          new TroubleGuide(
              kind,
              "The database does not answer",
              "Readings wait on this machine; the longer, the sooner old ones are thinned.");
      case READINGS_THINNED ->
          new TroubleGuide(
              kind,
              "Old readings are thinned",
              "Of what waits only each minute's figures are kept: a trace shows less.");
      case INTAKE_TROUBLE ->
          new TroubleGuide(
              kind,
              "Readings may not be stored",
              "The watch and its alarms go on; a trace of these hours may have a gap, or come late.");
      case TANK_OUT_OF_SITE ->
          new TroubleGuide(
              kind,
              "A tank may not be heard",
              "A probe that speaks there is heard by nobody: of that tank no alarm comes but for a quiet probe.");
      case BOOK_AWAY ->
          new TroubleGuide(
              kind,
              "The farm book does not answer",
              "Nothing can be written down and nobody new can log in; the watch and the calls go on, but Opercle cannot start again without it.");
      case MEMORY_DAMAGED ->
          new TroubleGuide(
              kind,
              "Something kept on the disk could not be read",
              "Opercle goes on without it; a disk that fails may lose more, and then the watch stops.");
      case DISK_FULL ->
          new TroubleGuide(
              kind,
              "The disk is full",
              "When nothing can be written, no reading is taken, and no tank is watched.");
      case DISK_NEARLY_FULL ->
          new TroubleGuide(kind, "The disk is nearly full", "When it is full, the watch stops.");
      case PART_STUCK -> new TroubleGuide(kind, "A part of Opercle stands still", BLIND);
      case ANALYSIS_LATE ->
          new TroubleGuide(
              kind,
              "Alarms come late",
              "If gas stops now, the alarm may come when there is little time left.");
      case NEWS_HELD_UP ->
          new TroubleGuide(
              kind,
              "Alarms do not get everywhere",
              "A siren may stay silent, or a restart forget what was said.");
      case CLOCK_STEPPED ->
          new TroubleGuide(
              kind, "The clock was not right", "Times in the records may be wrong by as much.");
      case CERTIFICATE_ENDS ->
          new TroubleGuide(
              kind,
              "A certificate ends",
              "From then on nobody trusts the server: links and readings stop.");
      case CHANNEL_DEAD ->
          new TroubleGuide(
              kind, "Somebody cannot be reached", "An alarm takes longer to reach a person.");
      case HEARTBEAT_HELD ->
          new TroubleGuide(
              kind,
              "The watcher outside hears nothing",
              "It calls for nothing, or would not know if this machine failed.");
      case NOT_LOOKED_AT ->
          new TroubleGuide(
              kind,
              "A part of Opercle cannot be looked at",
              "What is wrong there is not noticed before an alarm of a tank says so.");
    };
  }

  /** The one thing to do, a sentence. */
  public String action() {
    return kind.action();
  }
}
