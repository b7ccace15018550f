// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelPipeline;
import io.netty.handler.codec.mqtt.MqttDecoder;
import org.apache.activemq.artemis.core.remoting.impl.netty.NettyConnection;
import org.apache.activemq.artemis.core.server.plugin.ActiveMQServerConnectionPlugin;
import org.apache.activemq.artemis.spi.core.protocol.RemotingConnection;

/**
 * Looks at each connection to the embedded broker as it begins. MQTT in a WebSocket is refused: any
 * page in a browser on this machine could open one. The others get a {@link PacketLimit}.
 */
final class ConnectionGuard implements ActiveMQServerConnectionPlugin {

  /** What the broker calls its own handler of WebSockets. */
  private static final String WEB_SOCKET = "websocket-handler";

  @Override
  public void afterCreateConnection(RemotingConnection connection) {
    if (connection.getTransportConnection() instanceof NettyConnection netty) {
      ChannelPipeline pipeline = netty.getChannel().pipeline();
      ChannelHandlerContext decoder = pipeline.context(MqttDecoder.class);
      if (decoder == null || pipeline.get(WEB_SOCKET) != null) {
        var unused = netty.getChannel().close();
      } else {
        pipeline.addBefore(decoder.name(), "opercle-packet-limit", new PacketLimit());
      }
    }
  }
}
