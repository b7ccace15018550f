// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.OutOfService;

/**
 * What the watch believes of one tank at one instant. Immutable; may be read from any thread.
 *
 * <p>A value that is not measured, or whose newest reading is too old to stand for now, is empty,
 * never zero.
 *
 * @param tank the tank's id
 * @param time the instant this state holds for
 * @param newestReading when the newest reading of any probe of this tank was taken
 * @param oxygenMgPerL dissolved oxygen, mg/L
 * @param saturationPercent oxygen as a percentage of air saturation at this temperature and
 *     pressure
 * @param temperatureC water temperature, °C
 * @param gasFlowLPerMin gas flow, L/min at 15 °C and 101.325 kPa
 * @param slopeMgPerLPerMin rate of change of oxygen, (mg/L)/min; negative when falling
 * @param demandMgPerKgPerHour what the load is taken to breathe, mg/kg/h
 * @param timeInHand until the critical floor as things go
 * @param timeInHandIfGasStops until the critical floor, were the supply to end now
 * @param alarms standing alarms, most urgent first
 * @param checks what can be told of its probes, supply and water beyond the figures
 * @param outOfService what of the tank is out of service: a standing banner
 */
public record TankState(
    String tank,
    Instant time,
    Optional<Instant> newestReading,
    OptionalDouble oxygenMgPerL,
    OptionalDouble saturationPercent,
    OptionalDouble temperatureC,
    OptionalDouble gasFlowLPerMin,
    OptionalDouble slopeMgPerLPerMin,
    OptionalDouble demandMgPerKgPerHour,
    TimeInHand timeInHand,
    TimeInHand timeInHandIfGasStops,
    List<Alarm> alarms,
    TankChecks checks,
    List<OutOfService> outOfService) {

  public TankState {
    alarms = List.copyOf(alarms);
    outOfService = List.copyOf(outOfService);
  }

  /** A state of which nothing is known beyond the figures. */
  public TankState(
      String tank,
      Instant time,
      Optional<Instant> newestReading,
      OptionalDouble oxygenMgPerL,
      OptionalDouble saturationPercent,
      OptionalDouble temperatureC,
      OptionalDouble gasFlowLPerMin,
      OptionalDouble slopeMgPerLPerMin,
      OptionalDouble demandMgPerKgPerHour,
      TimeInHand timeInHand,
      TimeInHand timeInHandIfGasStops,
      List<Alarm> alarms) {
    this(
        tank,
        time,
        newestReading,
        oxygenMgPerL,
        saturationPercent,
        temperatureC,
        gasFlowLPerMin,
        slopeMgPerLPerMin,
        demandMgPerKgPerHour,
        timeInHand,
        timeInHandIfGasStops,
        alarms,
        TankChecks.UNKNOWN,
        List.of());
  }

  /** A state of a tank of which nothing is out of service. */
  public TankState(
      String tank,
      Instant time,
      Optional<Instant> newestReading,
      OptionalDouble oxygenMgPerL,
      OptionalDouble saturationPercent,
      OptionalDouble temperatureC,
      OptionalDouble gasFlowLPerMin,
      OptionalDouble slopeMgPerLPerMin,
      OptionalDouble demandMgPerKgPerHour,
      TimeInHand timeInHand,
      TimeInHand timeInHandIfGasStops,
      List<Alarm> alarms,
      TankChecks checks) {
    this(
        tank,
        time,
        newestReading,
        oxygenMgPerL,
        saturationPercent,
        temperatureC,
        gasFlowLPerMin,
        slopeMgPerLPerMin,
        demandMgPerKgPerHour,
        timeInHand,
        timeInHandIfGasStops,
        alarms,
        checks,
        List.of());
  }
}
