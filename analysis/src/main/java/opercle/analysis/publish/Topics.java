// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import java.util.Optional;
import opercle.analysis.alarm.AlarmCause;

/**
 * The MQTT topics that Opercle publishes to.
 *
 * @param farm the farm's name, as the topics' second level
 */
public record Topics(String farm) {

  private static final String ACKNOWLEDGE = "acknowledge";

  /**
   * Which alarm a topic is about.
   *
   * @param tank the tank's id
   * @param cause the cause
   */
  public record AlarmOf(String tank, AlarmCause cause) {}

  /** Retained JSON tank state, at most once a second. */
  public String state(String tank) {
    return "opercle/" + farm + "/tank/" + tank + "/state";
  }

  /** The states of all tanks. */
  public String stateFilter() {
    return state("+");
  }

  /** JSON alarm event, retained while the alarm stands. */
  public String alarm(String tank, AlarmCause cause) {
    return alarmPrefix(tank) + cause.id();
  }

  /** All alarms of all tanks. */
  public String alarmFilter() {
    return alarmPrefix("+") + "+";
  }

  /** Whether a topic is that of an alarm of this tank. */
  public boolean isAlarmOf(String tank, String topic) {
    return topic.startsWith(alarmPrefix(tank));
  }

  /** Where an acknowledgement from another process arrives: JSON {@code {"by": name}}. */
  public String acknowledge(String tank, AlarmCause cause) {
    return alarm(tank, cause) + "/" + ACKNOWLEDGE;
  }

  /** All acknowledgements. */
  public String acknowledgeFilter() {
    return alarmFilter() + "/" + ACKNOWLEDGE;
  }

  /** The alarm that an acknowledgement's topic is about; empty if it is none. */
  public Optional<AlarmOf> acknowledgedBy(String topic) {
    String[] levels = topic.split("/", -1);
    if (levels.length != 7
        || !levels[6].equals(ACKNOWLEDGE)
        || !topic.startsWith(alarmPrefix(levels[3]))) {
      return Optional.empty();
    }
    return AlarmCause.of(levels[5]).map(cause -> new AlarmOf(levels[3], cause));
  }

  /** Retained {@code online}, {@code degraded} or {@code offline} with its time; the last will. */
  public String monitor() {
    return "opercle/" + farm + "/monitor";
  }

  /** A trouble of the monitor itself, retained while it stands. */
  public String monitorTrouble(String id) {
    return monitor() + "/trouble/" + id;
  }

  /** All troubles of the monitor itself. */
  public String monitorTroubleFilter() {
    return monitorTrouble("+");
  }

  private String alarmPrefix(String tank) {
    return "opercle/" + farm + "/tank/" + tank + "/alarm/";
  }
}
