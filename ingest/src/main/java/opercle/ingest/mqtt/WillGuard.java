// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import io.netty.handler.codec.mqtt.MqttConnectMessage;
import io.netty.handler.codec.mqtt.MqttMessage;
import org.apache.activemq.artemis.core.protocol.mqtt.MQTTInterceptor;
import org.apache.activemq.artemis.spi.core.protocol.RemotingConnection;

/**
 * Lets nobody in whose last will is for a topic that it may not send to. The broker would find that
 * out when the line is cut, and would then try to send the will of an MQTT 5 client again each
 * second for ever.
 */
final class WillGuard implements MQTTInterceptor {

  private final Doorkeeper doorkeeper;

  WillGuard(Doorkeeper doorkeeper) {
    this.doorkeeper = doorkeeper;
  }

  @Override
  public boolean intercept(MqttMessage packet, RemotingConnection connection) {
    return !(packet instanceof MqttConnectMessage connect)
        || !connect.variableHeader().isWillFlag()
        || doorkeeper.mayLeave(connect.payload().userName(), connect.payload().willTopic());
  }
}
