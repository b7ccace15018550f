// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import opercle.ingest.mqtt.EmbeddedBroker;
import opercle.ingest.mqtt.MqttSettings;

/** How the parts of Opercle are known at a broker. */
final class Sessions {

  /** The first part of the client ids at the embedded broker. */
  static final String OWN_CLIENT = "opercle";

  private Sessions() {}

  /** Settings for one service's own session, which must keep its name over restarts. */
  static MqttSettings named(MqttSettings settings, String service) {
    return new MqttSettings(
        settings.broker(),
        settings.clientId() + "-" + service,
        settings.user(),
        settings.password(),
        settings.caCertificates(),
        settings.sessionExpiry(),
        settings.keepAlive());
  }

  /** Settings for a broker of the configuration. */
  static MqttSettings settings(Configuration.Mqtt.Existing broker) {
    return new MqttSettings(
        broker.broker(),
        broker.clientId(),
        broker.user(),
        broker.password(),
        broker.caFile(),
        MqttSettings.DEFAULT_SESSION_EXPIRY,
        MqttSettings.DEFAULT_KEEP_ALIVE);
  }

  /** Settings for the embedded broker. */
  static MqttSettings settings(EmbeddedBroker embedded) {
    return embedded.own(OWN_CLIENT);
  }
}
