// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.util.List;

/**
 * The rationale of one alarm: why it exists, what follows if it is ignored, what to do first. One
 * source for the messages, the pages and docs/alarms.md; an alarm without a row here does not
 * exist.
 *
 * @param cause which alarm
 * @param title what it says in three or four words
 * @param causes what may be behind it, the likeliest first
 * @param ifIgnored what comes of it if nobody does anything
 * @param actions what to do first: one of these, by what the watch has found
 * @param toBeSure how to tell at the tank whether it is so
 * @param timeAvailable from the alarm to harm that cannot be undone
 * @param priorityRule how its priority follows from consequence and time
 * @param setPoint where it begins and ends
 * @param delays what it waits for, before and after
 * @param latches whether it stays, once raised, until somebody has looked and resets it
 * @param gasWork whether its work is on the gas line, and the caution for that belongs with it
 */
public record AlarmGuide(
    AlarmCause cause,
    String title,
    List<String> causes,
    String ifIgnored,
    List<FirstAction> actions,
    String toBeSure,
    String timeAvailable,
    String priorityRule,
    String setPoint,
    String delays,
    boolean latches,
    boolean gasWork) {

  /** Beside work on oxygen; the usual caution, in short. */
  public static final String OXYGEN_CAUTION =
      "Oxygen feeds fire: no flame, oil or grease. Air the place. Follow the supplier’s data sheet.";

  /** Beside work on a blower; the usual caution, in short. */
  public static final String BLOWER_CAUTION =
      "Electricity by water: switch off at the supply before you touch a blower.";

  private static final String IN_HAND =
      "The time in hand that the alarm tells: minutes in a full transport tank, an hour or more in"
          + " a lightly stocked holding tank.";

  public AlarmGuide {
    causes = List.copyOf(causes);
    actions = List.copyOf(actions);
  }

  /** Of every alarm, in the order of {@link AlarmCause}. */
  public static List<AlarmGuide> all() {
    return List.of(AlarmCause.values()).stream().map(AlarmGuide::of).toList();
  }

  /** Of one alarm. */
  public static AlarmGuide of(AlarmCause cause) {
    return switch (cause) {
      case GAS_LINE_STOPPED ->
          new AlarmGuide(
              cause,
              "Gas has stopped",
              List.of(
                  "blower stopped, or without power",
                  "cylinder empty",
                  "valve shut",
                  "regulator failed or frozen",
                  "hose off or split before the meter"),
              "Oxygen falls to the critical floor within the time in hand, and the fish die.",
              List.of(FirstAction.RESTORE_CYLINDER, FirstAction.RESTORE_BLOWER),
              "No bubbles rise and the meter stands at nought. If bubbles rise as ever, it is the"
                  + " meter.",
              IN_HAND,
              "High; medium with four hours or more in hand, counted by the least that it may be, which is"
                  + " well below the likely time that is told.",
              "Flow below 20 % of what is normal for this line; over above 30 %.",
              "Two of the last three samples and the newest of them, over at least 10 s; ends after"
                  + " 2 min without. Where a timer shuts the gas off (pausesMinutes), only once its"
                  + " pause is over by a fifth and by 10 s, or less time is in hand at the least"
                  + " than it takes to get there.",
              true,
              true);
      case GAS_NOT_REACHING_WATER ->
          new AlarmGuide(
              cause,
              "Gas is not reaching the water",
              List.of(
                  "hose off or split after the meter",
                  "diffuser blocked, or out of the water",
                  "where there is no meter: anything that stops the gas"),
              "Oxygen falls to the critical floor within the time in hand, and the fish die.",
              List.of(
                  FirstAction.FOLLOW_HOSE_TO_DIFFUSER,
                  FirstAction.FOLLOW_HOSE_TO_METER,
                  FirstAction.FOLLOW_HOSE,
                  FirstAction.LIFT_DIFFUSER,
                  FirstAction.OPEN_VALVES,
                  FirstAction.CHANGE_CYLINDER,
                  FirstAction.RESTORE_BLOWER,
                  FirstAction.LOOK_THEN_CHECK_PROBE,
                  FirstAction.MORE_GAS,
                  FirstAction.LOOK_AT_FISH),
              "Fewer bubbles than usual, or none, or bubbles where there should be none. If they"
                  + " rise as ever, hold another meter in the water.",
              IN_HAND,
              "High with less than four hours in hand if a lost supply is 95 % sure. Less sure, it"
                  + " is high below 45 min, or below 90 min after a fall of 0.7 mg/L that does not"
                  + " slacken. While a probe has shown less than 30 min of quiet water and no meter"
                  + " shows anything unusual, it is high below 30 min or after a fall of 1.4 mg/L that"
                  + " does not slacken, unless four hours are left. Otherwise medium; so too, until"
                  + " 2 mg/L are lost and as long as no meter shows less gas: for a minute if it looks like the probe or is faster than the"
                  + " fish breathe, for 5 min if the probe was just put in or jumped within the last"
                  + " 30 min, but no longer than a third of the time in hand.",
              "Oxygen falls as it would without gas, against this probe’s own noise; or line"
                  + " pressure is below 20 % of normal while the flow meter shows no stop.",
              "None added to the fall: the test waits for evidence by itself. Pressure: two of"
                  + " three samples, over at least 10 s. Ends after 2 min without.",
              true,
              true);
      case OXYGEN_FALLING ->
          new AlarmGuide(
              cause,
              "Oxygen is falling",
              List.of(
                  "feeding, handling or fish just put in",
                  "water warming",
                  "gas lost in a way that the readings do not show yet",
                  "probe drifting or fouled"),
              "If it goes on, oxygen reaches the critical floor within the time in hand.",
              List.of(
                  FirstAction.MORE_GAS,
                  FirstAction.LOOK_THEN_CHECK_PROBE,
                  FirstAction.FOLLOW_HOSE_TO_DIFFUSER,
                  FirstAction.FOLLOW_HOSE_TO_METER,
                  FirstAction.FOLLOW_HOSE,
                  FirstAction.LIFT_DIFFUSER,
                  FirstAction.OPEN_VALVES,
                  FirstAction.CHANGE_CYLINDER,
                  FirstAction.RESTORE_BLOWER,
                  FirstAction.LOOK_AT_FISH),
              "Fish high in the water or quick in the gills. If they are calm and bubbles rise,"
                  + " hold another meter in the water.",
              IN_HAND,
              "High with less than 30 min in hand, or after a fall of 1.4 mg/L that does not"
                  + " slacken and that nothing logged explains, unless four hours are left. Otherwise medium; so too, until"
                  + " 2 mg/L are lost, while it may pass: for a minute if it looks like the probe or"
                  + " is faster than the fish breathe, for 3 min or a tenth of the time in hand,"
                  + " whichever is less, if a lost supply is not the likelier reason, for 5 min or a"
                  + " third of the time in hand, whichever is less, if the probe was just put in or"
                  + " jumped within the last 30 min and no meter shows less gas, while another probe"
                  + " in the tank is level, but with less than four hours in hand for 3 min or a"
                  + " third of it at most, and while the reading has turned.",
              "Oxygen falls by more than this probe’s own noise and this water’s ordinary wander"
                  + " explain, and by at least 0.02 mg/L a minute.",
              "None added: the test waits for evidence by itself. Ends after 2 min without.",
              false,
              true);
      case OXYGEN_LOW ->
          new AlarmGuide(
              cause,
              "Oxygen is low",
              List.of("too little gas for this load", "gas lost", "water warm", "probe fouled"),
              "Below the keep floor fish are under strain; at the critical floor they begin to die.",
              List.of(
                  FirstAction.MORE_GAS, FirstAction.RESTORE_CYLINDER, FirstAction.RESTORE_BLOWER),
              "Fish at the surface or by the inlet. Hold another meter in the water.",
              IN_HAND + " At the critical floor there is none.",
              "High from half-way between the two floors, or while it falls with less than 30 min"
                  + " in hand. Otherwise medium.",
              "Below the tank’s keep floor, and anew below its critical floor; over 0.3 mg/L above"
                  + " it.",
              "Two samples; ends after 2 min without.",
              false,
              true);
      case OXYGEN_HIGH ->
          new AlarmGuide(
              cause,
              "Oxygen is too high",
              List.of("more gas than this load needs", "a bubble on the probe"),
              "Gas is wasted. Far above saturation for long, gills and eyes can suffer.",
              List.of(FirstAction.LESS_GAS),
              "Hold another meter in the water, away from the bubbles.",
              "Hours.",
              "Low: it waits for the morning.",
              "Above 130 % of saturation with air, 200 % with oxygen.",
              "10 min; ends after 5 min without.",
              false,
              false);
      case CYLINDER_LOW ->
          new AlarmGuide(
              cause,
              "Cylinder is running low",
              List.of("used up as planned", "flow set higher than planned", "a leak"),
              "The gas ends, and oxygen falls from then on.",
              List.of(FirstAction.READY_CYLINDER),
              "Read the pressure gauge on the cylinder.",
              "What the cylinder still lasts, and then the time in hand.",
              "High below 30 min, medium below 2 h, low below 12 h.",
              "At the present flow down to 10 bar in less than 12 h.",
              "None before; ends after 5 min without.",
              false,
              true);
      case WATER_WARM ->
          new AlarmGuide(
              cause,
              "Water is too warm",
              List.of(
                  "sun or a warm day", "too little fresh water", "a heater or chiller at fault"),
              "Warm water holds less oxygen and the fish need more of it, until the gas is too"
                  + " little.",
              List.of(FirstAction.SHADE),
              "Hold a thermometer in the water.",
              "Hours; less where oxygen is low already.",
              "Medium.",
              "Above 19 °C with trout, 25 °C with perch or pike, 26 °C with roach, rudd or bream,"
                  + " 30 °C otherwise; or warming by more than 2 °C an hour.",
              "10 min; ends after 5 min without.",
              false,
              false);
      case OXYGEN_UNEVEN ->
          new AlarmGuide(
              cause,
              "Two probes disagree",
              List.of("a dead corner without flow", "a fouled or drifting probe"),
              "Fish in the poor corner run short while the better probe says that all is well.",
              List.of(FirstAction.COMPARE_PROBES),
              "Hold another meter at both places, or the two probes side by side.",
              "Counted from the lower probe.",
              "Medium.",
              "More than 1.0 mg/L apart, and more than 15 % of the higher.",
              "10 min; ends after 5 min without.",
              false,
              false);
      case PROBE_SILENT ->
          new AlarmGuide(
              cause,
              "A probe has gone quiet",
              List.of("cable or plug", "power", "network or gateway", "the probe itself"),
              "Nothing is seen of this tank: if gas stopped now, nobody would be told.",
              List.of(
                  FirstAction.LOOK_THEN_CHECK_LINK,
                  FirstAction.CHECK_LINK,
                  FirstAction.LOOK_THEN_CHECK_TOPIC),
              "The light or display of the probe or its gateway; other tanks on the same one.",
              "That of gas that stops unseen: the time in hand without gas.",
              "High where no oxygen probe of the tank is left: at once if other probes of the tank"
                  + " are heard; if none is, once only half an hour is left of the time in hand without"
                  + " gas; where that is short, after 10 min or once the least that it may be is over,"
                  + " and with gas from a blower while 20 min are likely left, but not before a third of"
                  + " the least is gone (blower) or half of it (cylinder); after 1 min to an hour, or"
                  + " 5 min where it is not known. Medium if an oxygen or gas probe is lost and another oxygen probe is"
                  + " left, or no oxygen was ever heard but other probes are. Otherwise low.",
              "Nothing heard for five of its usual intervals, and for 60 s at least; or, of a stocked"
                  + " tank, no oxygen reading in the first 5 min after a start.",
              "That is the delay, and after a start each probe is given it anew; ends after 2 min of"
                  + " being heard.",
              false,
              false);
      case PROBE_SUSPECT ->
          new AlarmGuide(
              cause,
              "Do not trust a probe",
              List.of("out of the water", "a bubble or growth on it", "worn out", "a bad plug"),
              "A fall might not be seen, or be seen where there is none.",
              List.of(
                  FirstAction.LOOK_THEN_SEE_PROBE, FirstAction.SEE_PROBE, FirstAction.SEE_METER),
              "Wipe the probe, put it back, and hold another meter beside it.",
              "That of gas that stops unseen: the time in hand without gas.",
              "High where no other oxygen probe of the tank is to be trusted and this one is blind;"
                  + " if it seems to be out of the water only after 3 min, or sooner as for a"
                  + " link, for a wave passes. Low where another one is to be trusted. Otherwise"
                  + " medium, and of a gas meter or a temperature probe.",
              "It repeats one value beyond chance, or moves by no more than its last digit, three"
                  + " times longer than ever; reads zero all at once; steps further than water can;"
                  + " seems to be out of the water; or stepped to what air would show and stands"
                  + " there. Or the temperature stepped further than water can.",
              "Stuck: 60 s at least, moving by its last digit 5 min. Steps: the next readings, of"
                  + " temperature 1 min. In air: 20 min. Ends after 2 min of sense, a jump after"
                  + " 30 min; out of the water once its temperature is the water’s again, or after"
                  + " 2 h; in air not before its level moves, or somebody has written down that the"
                  + " probe was seen to. A temperature within 5 °C is believed after 30 min.",
              false,
              false);
      case LOAD_TOO_HEAVY ->
          new AlarmGuide(
              cause,
              "More fish than the gas can keep",
              List.of("more fish than planned", "warm water", "diffuser partly blocked"),
              "The fish stay under strain, and there is nothing in reserve if gas stops.",
              List.of(FirstAction.LIGHTEN),
              "Turn the gas up: if oxygen rises within 10 min, it was too little.",
              "Hours as it is; short if gas stops.",
              "Medium.",
              "Gas on, and oxygen steady (within 0.02 mg/L a minute) below the keep floor.",
              "20 min; ends after 5 min without.",
              false,
              true);
      case HELD_TOO_LONG ->
          new AlarmGuide(
              cause,
              "Held too long",
              List.of("a delayed move"),
              "Fish lose condition, and sickness spreads more easily.",
              List.of(FirstAction.MOVE_ON),
              "The day on which they came in.",
              "Days.",
              "Low: it waits for the morning and wakes nobody.",
              "Days since the first of these fish came in, against the days set for the tank or the"
                  + " species; 14 days where nothing is set (common practice). Holding tanks only.",
              "None; ends after 5 min without.",
              false,
              false);
      case WASTE_HIGH ->
          new AlarmGuide(
              cause,
              "Waste is building up",
              List.of("too many fish for the water", "feeding", "too little fresh water"),
              "Ammonia and carbon dioxide hurt the gills; the fish breathe worse.",
              List.of(FirstAction.CHANGE_WATER),
              "A test kit for ammonia and pH.",
              "Hours.",
              "Reckoned: low, and medium where even the low end of its range is over the limit; never"
                  + " more. Measured by hand or probe: medium, and high from where it harms within"
                  + " hours: 0.5 mg/L of un-ionised ammonia for carp and their kind, 0.1 for trout,"
                  + " perch and pike; 40 mg/L of carbon dioxide.",
              "Un-ionised ammonia over 0.05 mg/L for carp and their kind, 0.025 for perch and pike,"
                  + " 0.0125 for trout; carbon dioxide over 20 mg/L; over below 80 % of that. Ammonia"
                  + " only where a probe or a test told the pH and the reckoning began within 7 days;"
                  + " carbon dioxide only from a test, or from pH and alkalinity.",
              "Reckoned 10 min, measured none; looked at once a minute; ends after 5 min without.",
              false,
              false);
    };
  }
}
