// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import java.util.function.BiConsumer;
import opercle.analysis.calling.Call;
import opercle.analysis.calling.Delivery;
import opercle.analysis.calling.Target;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Hands calls to their channels. Each channel has at most two threads, which wait for its network,
 * and a queue of {@value #QUEUE} calls, so that one that hangs keeps nobody else waiting. A call
 * for which that is full has failed, and another way is taken. For any thread.
 */
final class Senders implements AutoCloseable {

  private static final Logger log = LoggerFactory.getLogger(Senders.class);

  private static final int QUEUE = 50;
  private static final int THREADS = 2;

  private final Map<Target, Channel> channels = new ConcurrentHashMap<>();
  private final Map<Target, ThreadPoolExecutor> threads = new ConcurrentHashMap<>();
  private final BiConsumer<Call, Delivery> outcome;

  /**
   * Senders for these channels.
   *
   * @param outcome told what became of each call, on the channel's thread
   */
  Senders(Map<Target, Channel> channels, BiConsumer<Call, Delivery> outcome) {
    this.outcome = outcome;
    become(channels);
  }

  /**
   * From now on these are the channels. What a channel has that is none any more it still sends.
   */
  void become(Map<Target, Channel> now) {
    channels.putAll(now);
    channels.keySet().retainAll(now.keySet());
    now.keySet().forEach(target -> threads.computeIfAbsent(target, Senders::threads));
    for (Target gone : List.copyOf(threads.keySet())) {
      if (!now.containsKey(gone)) {
        Optional.ofNullable(threads.remove(gone)).ifPresent(ThreadPoolExecutor::shutdown);
      }
    }
  }

  /** Whether there is such a channel. */
  boolean has(Target target) {
    return channels.containsKey(target);
  }

  /** Sends, without waiting for it. */
  void send(Call call, Message message) {
    Target target = new Target(call.person(), call.channel());
    Channel channel = channels.get(target);
    ThreadPoolExecutor sender = threads.get(target);
    if (channel == null || sender == null) {
      outcome.accept(call, Delivery.refused("it is no longer in the configuration"));
      return;
    }
    try {
      sender.execute(() -> outcome.accept(call, delivered(channel, message)));
    } catch (RejectedExecutionException e) {
      outcome.accept(call, Delivery.failed("too much is waiting for it already"));
    }
  }

  private static Delivery delivered(Channel channel, Message message) {
    try {
      return channel.deliver(message);
    } catch (RuntimeException e) {
      log.error("the channel {} stumbled", message.call().channel(), e);
      return Delivery.failed(CallKeeper.OUR_FAULT);
    }
  }

  @Override
  public void close() {
    threads.values().forEach(ThreadPoolExecutor::shutdownNow);
  }

  private static ThreadPoolExecutor threads(Target target) {
    ThreadPoolExecutor sender =
        new ThreadPoolExecutor(
            THREADS,
            THREADS,
            Duration.ofMinutes(1).toMillis(),
            TimeUnit.MILLISECONDS,
            new ArrayBlockingQueue<>(QUEUE),
            task -> {
              Thread thread = new Thread(task, "call-" + target.channel());
              thread.setDaemon(true);
              return thread;
            });
    sender.allowCoreThreadTimeOut(true);
    return sender;
  }
}
