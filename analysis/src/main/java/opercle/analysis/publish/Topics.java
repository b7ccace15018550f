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
    return ofTank(tank, "state");
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

  /** What became of an act, by the id that it was given; not retained. */
  public String answer(String id) {
    return "opercle/" + farm + "/answer/" + id;
  }

  /** What became of all acts. */
  public String answerFilter() {
    return answer("+");
  }

  /** The farm as it is described now, retained. */
  public String farmNow() {
    return "opercle/" + farm + "/farm";
  }

  /** Where somebody asks for the farm to be described anew. */
  public String farmChange() {
    return farmNow() + "/change";
  }

  /** Which topics were assigned to tanks on the pages, retained. */
  public String assignedTopics() {
    return farmNow() + "/topics";
  }

  /** Something of a tank. */
  String ofTank(String tank, String what) {
    return "opercle/" + farm + "/tank/" + tank + "/" + what;
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

  /**
   * How a service is that takes readings in on its own, retained; its last will too.
   *
   * @param client the first part of its client ids
   */
  public String ingest(String client) {
    return "opercle/" + farm + "/ingest/" + client;
  }

  /** All services that take readings in on their own. */
  public String ingestFilter() {
    return ingest("+");
  }

  /** A test of the way of alarms to a siren. */
  public String alarmTest() {
    return monitor() + "/alarm-test";
  }

  private String alarmPrefix(String tank) {
    return ofTank(tank, "alarm/");
  }
}
