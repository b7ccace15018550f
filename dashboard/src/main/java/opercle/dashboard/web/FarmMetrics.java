// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import io.prometheus.metrics.model.snapshots.CounterSnapshot;
import io.prometheus.metrics.model.snapshots.CounterSnapshot.CounterDataPointSnapshot;
import io.prometheus.metrics.model.snapshots.GaugeSnapshot;
import io.prometheus.metrics.model.snapshots.GaugeSnapshot.GaugeDataPointSnapshot;
import io.prometheus.metrics.model.snapshots.Labels;
import io.prometheus.metrics.model.snapshots.MetricSnapshots;
import java.time.Duration;
import java.time.Instant;
import java.util.Locale;
import java.util.OptionalDouble;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.Priority;
import opercle.analysis.watch.TankState;

/**
 * The farm and its monitor as figures, in OpenMetrics' base units where it has one: seconds, bytes,
 * ratios; oxygen in mg/L and temperature in °C, as everywhere here. What is not known has no
 * sample, never a nought. One instant's figures; one thread.
 */
final class FarmMetrics {

  private static final String TANK = "tank";

  private final LiveFarm live;
  private final MetricSnapshots.Builder all = MetricSnapshots.builder();

  private FarmMetrics(LiveFarm live) {
    this.live = live;
  }

  /**
   * @param listening how many live streams there are
   */
  static MetricSnapshots of(LiveFarm live, int listening) {
    var metrics = new FarmMetrics(live);
    metrics.monitor(listening);
    metrics.tanks();
    return metrics.all.build();
  }

  private void monitor(int listening) {
    MonitorState monitor = live.monitor();
    monitor
        .intake()
        .ifPresent(
            i -> {
              counter("opercle_messages", "MQTT messages dealt with.", i.messages());
              counter("opercle_readings", "Readings taken.", i.readings());
              counter(
                  "opercle_dropped_messages",
                  "Messages of QoS 0 dropped because store or watch did not keep up.",
                  i.dropped());
              gauge(
                  "opercle_behind_seconds",
                  "How long the readings in hand have waited.",
                  seconds(i.behind()));
            });
    monitor.broker().ifPresent(p -> up("opercle_broker_up", "Whether the broker is there.", p));
    monitor.store().ifPresent(p -> up("opercle_store_up", "Whether the store takes readings.", p));
    monitor
        .disk()
        .ifPresent(
            disk -> {
              gauge(
                  "opercle_disk_free_bytes",
                  "Free for the data folder.",
                  (double) disk.freeBytes());
              gauge(
                  "opercle_disk_total_bytes",
                  "The disk of the data folder.",
                  (double) disk.totalBytes());
            });
    monitor
        .spool()
        .ifPresent(
            spool -> {
              gauge(
                  "opercle_influxdb_up",
                  "Whether InfluxDB takes readings.",
                  spool.influxTakes() ? 1.0 : 0.0);
              gauge(
                  "opercle_spool_waiting_seconds",
                  "Age of the oldest reading that InfluxDB lacks.",
                  seconds(spool.waiting()));
              gauge("opercle_spool_bytes", "The spool on the disk.", (double) spool.bytes());
            });
    gauge("opercle_listening", "Pages that listen to the live stream.", listening);
    gauge(
        "opercle_troubles",
        "What keeps the monitor from its work just now.",
        live.troublesToMend().size());
    var notTaken = CounterSnapshot.builder().name("opercle_not_taken").help("Sent but not taken.");
    live.notTaken()
        .counts()
        .forEach(
            (reason, count) ->
                notTaken.dataPoint(
                    CounterDataPointSnapshot.builder()
                        .labels(Labels.of("reason", word(reason)))
                        .value((double) count)
                        .build()));
    all.metricSnapshot(notTaken.build());
  }

  private void tanks() {
    var age = tankGauge("newest_reading_age_seconds", "Age of the newest reading of any probe.");
    var oxygen = tankGauge("oxygen_mg_per_litre", "Dissolved oxygen.");
    var saturation = tankGauge("oxygen_saturation_percent", "Oxygen against air saturation.");
    var temperature = tankGauge("temperature_celsius", "Water temperature.");
    var flow = tankGauge("gas_flow_litres_per_minute", "Gas flow at 15 °C and 101.325 kPa, dry.");
    var hand = tankGauge("time_in_hand_seconds", "Likely time to the critical floor.");
    var alarms = tankGauge("alarms", "Standing alarms.");
    Instant now = live.now();
    for (TankState state : live.states()) {
      Labels tank = Labels.of(TANK, state.tank());
      state.newestReading().ifPresent(t -> add(age, tank, seconds(Duration.between(t, now))));
      add(oxygen, tank, state.oxygenMgPerL());
      add(saturation, tank, state.saturationPercent());
      add(temperature, tank, state.temperatureC());
      add(flow, tank, state.gasFlowLPerMin());
      minutes(hand, state, "as-things-go", state.timeInHand().likelyMinutes());
      minutes(hand, state, "if-gas-stops", state.timeInHandIfGasStops().likelyMinutes());
      for (Priority priority : Priority.values()) {
        long standing =
            state.alarms().stream().map(Alarm::priority).filter(priority::equals).count();
        add(alarms, Labels.of(TANK, state.tank(), "priority", word(priority)), (double) standing);
      }
    }
    for (var gauge :
        new GaugeSnapshot.Builder[] {age, oxygen, saturation, temperature, flow, hand, alarms}) {
      all.metricSnapshot(gauge.build());
    }
  }

  private static GaugeSnapshot.Builder tankGauge(String name, String help) {
    return GaugeSnapshot.builder().name("opercle_tank_" + name).help(help);
  }

  private static void minutes(
      GaugeSnapshot.Builder gauge, TankState state, String when, OptionalDouble minutes) {
    minutes.ifPresent(m -> add(gauge, Labels.of(TANK, state.tank(), "when", when), 60.0 * m));
  }

  private static void add(GaugeSnapshot.Builder gauge, Labels labels, OptionalDouble value) {
    value.ifPresent(v -> add(gauge, labels, v));
  }

  private static void add(GaugeSnapshot.Builder gauge, Labels labels, double value) {
    gauge.dataPoint(GaugeDataPointSnapshot.builder().labels(labels).value(value).build());
  }

  private void counter(String name, String help, long value) {
    all.metricSnapshot(
        CounterSnapshot.builder()
            .name(name)
            .help(help)
            .dataPoint(CounterDataPointSnapshot.builder().value((double) value).build())
            .build());
  }

  private void gauge(String name, String help, double value) {
    var gauge = GaugeSnapshot.builder().name(name).help(help);
    add(gauge, Labels.EMPTY, value);
    all.metricSnapshot(gauge.build());
  }

  private void up(String name, String help, MonitorState.Part part) {
    gauge(name, help, part.well() ? 1.0 : 0.0);
  }

  private static double seconds(Duration duration) {
    return duration.toNanos() / 1e9;
  }

  private static String word(Enum<?> value) {
    return value.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }
}
