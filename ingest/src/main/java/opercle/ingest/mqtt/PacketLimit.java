// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import io.netty.buffer.ByteBuf;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelInboundHandlerAdapter;

/**
 * Ends a connection whose next MQTT packet announces more bytes than any that is meant well. The
 * broker's decoder would collect up to 256 MB of it first, for a stranger who has not even said a
 * name. Reads only the packets' lengths (MQTT 5, section 2.1.4). One a connection.
 */
final class PacketLimit extends ChannelInboundHandlerAdapter {

  /** A SenML pack of some ten thousand readings. */
  static final int MOST_BYTES = 1 << 20;

  private static final int MOST_LENGTH_BYTES = 4;

  private static final int CONNECT = 0x10;

  /** Who comes in says a name, a password and perhaps a last will; nobody is known yet. */
  private static final int MOST_CONNECT_BYTES = 16 << 10;

  private int most = MOST_BYTES;
  private long left; // of the packet's body
  private boolean inLength;
  private int length;
  private int lengthBytes;

  @Override
  public void channelRead(ChannelHandlerContext context, Object message) {
    if (message instanceof ByteBuf bytes && !isFine(bytes)) {
      bytes.release();
      var unused = context.close();
      return;
    }
    context.fireChannelRead(message);
  }

  private boolean isFine(ByteBuf bytes) {
    int at = bytes.readerIndex();
    while (at < bytes.writerIndex()) {
      if (left > 0) {
        long skipped = Math.min(left, bytes.writerIndex() - at);
        left -= skipped;
        at += (int) skipped;
      } else if (!inLength) { // the packet's type
        inLength = true;
        most = (bytes.getByte(at) & 0xf0) == CONNECT ? MOST_CONNECT_BYTES : MOST_BYTES;
        length = 0;
        lengthBytes = 0;
        at++;
      } else {
        int value = bytes.getByte(at++);
        length |= (value & 0x7f) << (7 * lengthBytes++);
        boolean more = (value & 0x80) != 0;
        if (length > most || (more && lengthBytes == MOST_LENGTH_BYTES)) {
          return false;
        }
        if (!more) {
          inLength = false;
          left = length;
        }
      }
    }
    return true;
  }
}
