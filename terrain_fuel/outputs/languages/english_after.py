"""English of what is told after a ride: review, log, learning, season."""

SENTENCES: dict[str, str] = {
    # what was mended in a recording
    "recording_lacks_power": "No power was recorded: where it is needed it is fitted to the time ridden.",
    "recording_lacks_heart": "No heart rate was recorded.",
    "recording_damaged": "The file is damaged or cut off: what could be read of it is used, {points}"
    " {points:point|points}.",
    "clock_leapt": "The device's clock leapt {count} {count:time|times}; it is taken to have gone on from where it was.",
    "receiver_leapt": "{count} {count:place|places} to which the receiver leapt and came back from"
    " {count:is|are} left out.",
    "two_devices": "What only {source} recorded is taken from there.",
    "two_parts": "{source} goes on where the first file ends; nothing was recorded between them.",
    # where the ride left the planned road
    "event_started_late": "The ride joined the planned road at {at_m:place1}.",
    "event_stopped_early": "The ride left the planned road for good at {at_m:place1}, {left_m:length} before its end.",
    "event_detour": "Between {from_m:place1} and {to_m:road1} another road was ridden, {ridden_m:length}.",
    "event_shortcut": "Between {from_m:place1} and {to_m:road1} a shorter way was ridden: {saved_m:length} saved.",
    "event_turned_off": "At {at_m:place1} the ride turned off and came back: {ridden_m:length}.",
    "event_not_recorded": "Between {from_m:place1} and {to_m:road1} nothing was recorded.",
    "rode_elsewhere": "The ride does not follow the road of the plan “{plan}”; it is looked at on its own.",
    "rode_other_way": "The planned road was ridden the other way round; the plan's places and times do not apply.",
    "on_time": "The finish was on time, within a minute.",
    "late_from": "{amount_s:duration} later than planned at the end, and late for good from {from_m:place}.",
    "early_from": "{amount_s:duration} earlier than planned at the end, and early for good from {from_m:place}.",
    # stores, sweat
    "no_places_recorded": "No places were recorded: nothing is said of road, climbs, stores and sweat.",
    "too_short_for_stores": "The ride is too short to say anything of stores and sweat.",
    "power_fitted": "Stores and sweat are worked out with the power that fits the time ridden, not with a measured one.",
    "weighing_cannot_be": "The two weighings cannot belong to this ride; check both masses and what was drunk.",
    "drunk_as_planned": "The sweat rate takes for drunk what was planned; say what was left in the bottles.",
    # signs
    "cannot_tell_short": "The ride is too short for the recording to tell.",
    "cannot_tell_no_power": "Without measured power the recording cannot tell.",
    "cannot_tell_no_heart": "Without heart rate the recording cannot tell.",
    "cannot_tell_uneven": "Power was too uneven, or too unlike in the two halves, for the recording to tell.",
    "cannot_tell_no_like_climbs": "No climb of the last hour is like one of the first, and no power was measured:"
    " the recording cannot tell.",
    "cannot_tell_no_rise": "No rise of a minute and more lies in both hours: the recording cannot tell.",
    "sign_last_hour": "Power in the last hour was {share:share} of that in the first: {last_w:.0f} W after"
    " {first_w:.0f} W.",
    "sign_like_climbs": "On like climbs the last hour went up at {share:share} of the first hour's speed.",
    "sign_drift": "Power for a heartbeat fell by {share:pct1}% from the first half to the second, over {minutes}"
    " steady minutes; heat, thirst and tiredness all do that.",
    "sign_rise": "The best minute uphill in the last hour was {share:share} of that in the first: {last_w:.0f} W"
    " after {first_w:.0f} W.",
    # what no device knows
    "ask_item_left": "How many of the {total} {total:bite|bites} of {item} are left?",
    "ask_bottle_left": "How much is left in the {bottle}?",
    "ask_what_was_eaten": "What was eaten and drunk?",
    "ask_stomach": "How was the stomach?",
    "ask_legs": "How were the legs in the last hour?",
    "ask_thirst": "How great was the thirst at the end?",
    "ask_mass_before": "Body mass before the ride?",
    "ask_mass_after": "Body mass after it?",
    # cautions
    "review_not_medical": "This review is information, not medical advice; its figures are estimates with their"
    " errors.",
    "review_weighing": "A weighing tells how much you sweat on a ride and nothing else; it is no target. Leave it"
    " out if weighing does you no good.",
}

LABELS: dict[str, str] = {}
