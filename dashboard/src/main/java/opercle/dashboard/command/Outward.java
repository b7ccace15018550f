// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import opercle.analysis.publish.MqttAnnouncer;
import opercle.ingest.mqtt.MqttLink;

/**
 * The way of the watch's news to the broker.
 *
 * @param link the connection that announces
 * @param announcer who publishes over it
 * @param status what the monitor says of itself
 */
record Outward(MqttLink link, MqttAnnouncer announcer, MonitorStatus status) {}
