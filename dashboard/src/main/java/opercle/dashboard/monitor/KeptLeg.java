// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Supplier;
import opercle.analysis.memory.WatchMemory;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;

/**
 * What was kept on this machine's disk for the next start, and could not be read at it. It is told
 * at the first look, though it may have been written well by then: a disk that damaged one file may
 * damage more. For one thread.
 */
public final class KeptLeg implements Leg {

  /**
   * A file that was there and could not be read.
   *
   * @param id tells it from others, in letters, digits and hyphens
   * @param words what that means, a sentence for a person
   * @param isMended whether it has been written well since
   */
  public record Damage(String id, String words, boolean isMended) {}

  private final Supplier<List<Damage>> damages;
  private boolean hasLooked;

  /** Looks at files. */
  public KeptLeg(Supplier<List<Damage>> damages) {
    this.damages = damages;
  }

  /** Looks at a watch's memory. */
  public static KeptLeg of(Supplier<List<WatchMemory.Damage>> memory) {
    return new KeptLeg(
        () ->
            memory.get().stream()
                .map(d -> new Damage(id(d.part()), words(d.part()), d.isSavedSince()))
                .toList());
  }

  private static String id(WatchMemory.Part part) {
    return switch (part) {
      case LEARNED -> "learned";
      case ALARMS -> "alarms";
    };
  }

  private static String words(WatchMemory.Part part) {
    return switch (part) {
      case LEARNED ->
          "What Opercle had learned of the tanks could not be read from this machine's disk, where it is damaged or Opercle has no right to read it: it learns it anew, and for an hour or two a gas that fails is noticed later.";
      case ALARMS ->
          "The alarms that stood could not be read from this machine's disk, where they are damaged or Opercle has no right to read them: those whose cause is still there come anew; who had one, and what was put aside, is not known.";
    };
  }

  @Override
  public String what() {
    return "what is kept for the next start";
  }

  @Override
  public Map<TroubleKey, String> look(long steadyNanos) {
    Map<TroubleKey, String> found = new LinkedHashMap<>();
    for (Damage damage : damages.get()) {
      if (!hasLooked || !damage.isMended()) {
        found.put(TroubleKey.of(TroubleKind.MEMORY_DAMAGED, damage.id()), damage.words());
      }
    }
    hasLooked = true;
    return found;
  }
}
