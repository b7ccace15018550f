// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import opercle.analysis.alarm.AlarmCause;

/**
 * The MQTT topics that Opercle publishes to.
 *
 * @param farm the farm's name, as the topics' second level
 */
public record Topics(String farm) {

  /** Retained JSON tank state, at most once a second. */
  public String state(String tank) {
    return "opercle/" + farm + "/tank/" + tank + "/state";
  }

  /** JSON alarm event, retained while the alarm stands. */
  public String alarm(String tank, AlarmCause cause) {
    return "opercle/" + farm + "/tank/" + tank + "/alarm/" + cause.id();
  }

  /** Where an acknowledgement from another process arrives: JSON {@code {"by": name}}. */
  public String acknowledge(String tank, AlarmCause cause) {
    return alarm(tank, cause) + "/acknowledge";
  }

  /** Retained {@code online} or {@code offline} with its time; the last will. */
  public String monitor() {
    return "opercle/" + farm + "/monitor";
  }
}
