// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import io.netty.channel.Channel;
import io.netty.handler.codec.mqtt.MqttMessage;
import io.netty.handler.codec.mqtt.MqttPublishMessage;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import org.apache.activemq.artemis.api.core.ActiveMQException;
import org.apache.activemq.artemis.api.core.QueueConfiguration;
import org.apache.activemq.artemis.api.core.SimpleString;
import org.apache.activemq.artemis.core.config.WildcardConfiguration;
import org.apache.activemq.artemis.core.postoffice.Binding;
import org.apache.activemq.artemis.core.postoffice.QueueBinding;
import org.apache.activemq.artemis.core.protocol.mqtt.MQTTInterceptor;
import org.apache.activemq.artemis.core.remoting.impl.netty.NettyConnection;
import org.apache.activemq.artemis.core.security.SecurityAuth;
import org.apache.activemq.artemis.core.server.ActiveMQServer;
import org.apache.activemq.artemis.core.server.Queue;
import org.apache.activemq.artemis.core.server.plugin.ActiveMQServerQueuePlugin;
import org.apache.activemq.artemis.spi.core.protocol.RemotingConnection;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Bounds what waits in the embedded broker, all of which is in its journal and in memory. Of two
 * kinds of sessions:
 *
 * <ul>
 *   <li>those of the client ids that are <em>kept whole</em> lose nothing: when too much waits for
 *       them, connections that publish are not read from until half of it is gone. What was not
 *       read is not acknowledged, and its publisher still has it;
 *   <li>all others lose their oldest messages past a number, so that a display that went away for
 *       ever holds up nobody; and where they have too many bytes together, the one that has most
 *       loses all that waits for it.
 * </ul>
 *
 * <p>The broker's own way, writing to page files, is not used: where a transaction is paged, as it
 * is for every MQTT message, 2.53 counts the end of the page's write as if it were the end of an
 * earlier commit's, and acknowledges up to half of what it has just taken before its commit record
 * is on the disk. Killed at that moment it has lost them.
 *
 * <p>Messages below {@code opercle/}, where alarms are told, are never held up.
 */
final class Backlog implements MQTTInterceptor, ActiveMQServerQueuePlugin {

  private static final Logger LOG = LoggerFactory.getLogger(Backlog.class);

  private static final String OWN_TOPICS = "opercle/";

  /** Queues in which the broker keeps retained messages and sessions. */
  private static final String BROKERS_OWN = "$sys.";

  /** What a small message takes in memory beside its bytes, about. */
  private static final long OVERHEAD_BYTES = 1_000;

  private static final long LOOK_AGAIN_MS = 20;

  /** So many looks while as much comes in as may wait. */
  private static final long LOOKS = 10;

  /**
   * How much may wait.
   *
   * @param keptWholeBytes in all queues that are kept whole, as it is in memory
   * @param messagesOfOthers in each other queue
   * @param bytesOfOthers in all other queues together, as it is in memory
   */
  record Limits(long keptWholeBytes, long messagesOfOthers, long bytesOfOthers) {

    /** For a heap of 256 MB. */
    static final Limits USUAL = new Limits(40L << 20, 10_000, 20L << 20);
  }

  private final Set<String> keptWhole;
  private final Limits limits;
  private final WildcardConfiguration separators;
  private final Map<SimpleString, Queue> wholeQueues = new ConcurrentHashMap<>();
  private final Map<SimpleString, Queue> otherQueues = new ConcurrentHashMap<>();
  private final AtomicLong sinceLook = new AtomicLong();
  private volatile boolean holding;

  /**
   * @param keptWhole client ids
   */
  Backlog(Set<String> keptWhole, Limits limits, WildcardConfiguration separators) {
    this.keptWhole = Set.copyOf(keptWhole);
    this.limits = limits;
    this.separators = separators;
  }

  /** Takes up the queues that were there before. */
  void watch(ActiveMQServer server) {
    server
        .getPostOffice()
        .getAllBindings()
        .filter(QueueBinding.class::isInstance)
        .map(Binding.class::cast)
        .map(binding -> ((QueueBinding) binding).getQueue())
        .forEach(this::bound);
    boundOthersTogether();
  }

  private void bound(Queue queue) {
    if (isKeptWhole(queue.getName())) {
      wholeQueues.put(queue.getName(), queue);
    } else if (!queue.getName().toString().startsWith(BROKERS_OWN)) {
      queue.setRingSize(limits.messagesOfOthers());
      otherQueues.put(queue.getName(), queue);
    }
  }

  private void boundOthersTogether() {
    long bytes = otherQueues.values().stream().mapToLong(Backlog::bytes).sum();
    if (bytes <= limits.bytesOfOthers()) {
      return;
    }
    Optional<Queue> largest =
        otherQueues.values().stream().max(Comparator.comparingLong(Backlog::bytes));
    if (largest.isEmpty()) {
      return;
    }
    try {
      int lost = largest.get().deleteAllReferences();
      LOG.warn(
          "{} messages that waited for \"{}\" are dropped: too much waits for those who are away.",
          lost,
          largest.get().getName());
    } catch (Exception e) { // as the broker declares it
      LOG.warn("what waits for those who are away cannot be dropped", e);
    }
  }

  private static long bytes(Queue queue) {
    return queue.getPersistentSize() + OVERHEAD_BYTES * queue.getMessageCount();
  }

  /** The broker calls a queue by its client id, the separator, and the topic filter. */
  private boolean isKeptWhole(SimpleString queue) {
    String name = queue.toString();
    return keptWhole.stream().anyMatch(id -> name.startsWith(id + separators.getDelimiter()));
  }

  @Override
  public void beforeCreateQueue(QueueConfiguration queue) {
    if (!isKeptWhole(queue.getName()) && !queue.getName().toString().startsWith(BROKERS_OWN)) {
      queue.setRingSize(limits.messagesOfOthers());
    }
  }

  @Override
  public void afterCreateQueue(Queue queue) {
    bound(queue);
  }

  @Override
  public void afterDestroyQueue(
      Queue queue,
      SimpleString address,
      SecurityAuth session,
      boolean checkConsumerCount,
      boolean removeConsumers,
      boolean autoDeleteAddress) {
    wholeQueues.remove(queue.getName());
    otherQueues.remove(queue.getName());
  }

  /** On the connection's own thread, before the broker takes the message. */
  @Override
  public boolean intercept(MqttMessage packet, RemotingConnection connection)
      throws ActiveMQException {
    if (packet instanceof MqttPublishMessage publish) {
      lookNowAndThen(publish.payload().readableBytes() + OVERHEAD_BYTES);
    }
    if (packet instanceof MqttPublishMessage publish
        && !publish.variableHeader().topicName().startsWith(OWN_TOPICS)
        && waitingBytes() > limits.keptWholeBytes()
        && connection.getTransportConnection() instanceof NettyConnection netty) {
      hold(netty.getChannel());
    }
    return true; // what was read is taken
  }

  /** A message waits once for everybody who is away. */
  private void lookNowAndThen(long messageBytes) {
    long grown = sinceLook.addAndGet(messageBytes * Math.max(1, otherQueues.size()));
    if (grown > limits.bytesOfOthers() / LOOKS) {
      sinceLook.set(0);
      boundOthersTogether();
    }
  }

  private void hold(Channel channel) {
    if (channel.config().isAutoRead()) {
      channel.config().setAutoRead(false);
      letGoLater(channel);
      if (!holding) {
        holding = true;
        LOG.warn(
            "{} messages wait to be stored; publishers now wait too, until half of them are.",
            waitingMessages());
      }
    }
  }

  private void letGoLater(Channel channel) {
    var unused =
        channel
            .eventLoop()
            .schedule(
                () -> {
                  if (!channel.isOpen()) {
                    return;
                  }
                  if (waitingBytes() > limits.keptWholeBytes() / 2) {
                    letGoLater(channel);
                    return;
                  }
                  if (holding) {
                    holding = false;
                    LOG.info("Publishers need not wait any longer.");
                  }
                  channel.config().setAutoRead(true);
                },
                LOOK_AGAIN_MS,
                TimeUnit.MILLISECONDS);
  }

  private long waitingBytes() {
    long bytes = 0;
    for (Queue queue : wholeQueues.values()) {
      bytes += bytes(queue);
    }
    return bytes;
  }

  private long waitingMessages() {
    return List.copyOf(wholeQueues.values()).stream().mapToLong(Queue::getMessageCount).sum();
  }
}
