// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import opercle.analysis.alarm.AlarmEvent.Kind;

/**
 * What of one tank is out of service: orders of people, each over the tank or over one cause, that
 * end by themselves. Not thread-safe.
 */
final class ServiceOrders {

  private final StandingAlarms alarms;
  private final List<OutOfService> orders;

  /**
   * Those of a tank.
   *
   * @param orders where they are kept, in the order in which they were made; changed here alone
   */
  ServiceOrders(StandingAlarms alarms, List<OutOfService> orders) {
    this.alarms = alarms;
    this.orders = orders;
  }

  /** In the order in which they were made. */
  List<OutOfService> all() {
    return List.copyOf(orders);
  }

  boolean isEmpty() {
    return orders.isEmpty();
  }

  void restore(List<OutOfService> others) {
    orders.clear();
    orders.addAll(others);
  }

  /** Takes the place of an earlier order for the same; an event for every alarm it is over. */
  List<AlarmEvent> take(OutOfService order) {
    List<AlarmEntry> before =
        alarms.all().stream().filter(e -> alarms.isInService(e.finding().cause())).toList();
    orders.removeIf(o -> o.cause().equals(order.cause()));
    orders.add(order);
    List<AlarmEvent> events = new ArrayList<>();
    for (AlarmEntry e : before) {
      if (order.covers(e.finding().cause())) {
        AlarmEntry quiet = e.change().silence(Optional.empty()).done();
        alarms
            .tell(order.from(), Kind.OUT_OF_SERVICE, quiet, Optional.of(order.by()))
            .ifPresent(events::add);
      }
    }
    return events;
  }

  /** Time has passed. */
  List<AlarmEvent> pass(Instant now) {
    List<AlarmEvent> events = new ArrayList<>();
    orders.replaceAll(order -> order.at(now));
    for (OutOfService order : List.copyOf(orders)) {
      if (!now.isBefore(order.until())) {
        events.addAll(end(now, order, order.by()));
      }
    }
    return events;
  }

  /** Ends the order over a cause, or over all of the tank, before its time. */
  List<AlarmEvent> end(Instant now, Optional<AlarmCause> cause, String by) {
    return orders.stream()
        .filter(o -> o.cause().equals(cause))
        .findFirst()
        .map(order -> end(now, order, by))
        .orElse(List.of());
  }

  private List<AlarmEvent> end(Instant now, OutOfService order, String by) {
    orders.remove(order);
    List<AlarmEvent> events = new ArrayList<>();
    for (AlarmEntry e : alarms.all()) {
      AlarmCause cause = e.finding().cause();
      if (order.covers(cause) && alarms.isInService(cause)) {
        AlarmEntry back = e.change().open(e.byCondition()).done();
        alarms.tell(now, Kind.RETURNED_TO_SERVICE, back, Optional.of(by)).ifPresent(events::add);
      }
    }
    return events;
  }
}
