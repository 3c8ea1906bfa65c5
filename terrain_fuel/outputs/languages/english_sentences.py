"""English sentences of the facts, by their codes."""

SENTENCES: dict[str, str] = {
    # the need: carbohydrate, fluid, weather, caffeine
    "short_ride": "A ride this short needs nothing to eat; start fed and carry a bite.",
    "above_90": "{rate_g_per_h:.0f} g of carbohydrate an hour is only for a gut trained to it over weeks;"
    " rehearse it, and cut back at the first discomfort.",
    "mixed_sugars": "{rate_g_per_h:.0f} g of carbohydrate an hour needs mixed sugars: about {glucose_g:.0f} g"
    " glucose kinds and {fructose_g:.0f} g fructose; rehearse it in training.",
    "sweat_estimated": "Your sweat rate is an estimate, likely {low_ml_per_h:fifties} to {high_ml_per_h:fifties}"
    " ml an"
    " hour; weigh yourself before and after a ride to know it.",
    "sweat_at_most": "For {hours:.1f} hours the estimate of your sweat stands at its end, {most_ml_per_h:.0f} ml an"
    " hour: you may lose more than this plan reckons with. Ride easier and shorter, and weigh yourself before and"
    " after.",
    "fluid_loss": "From about {from_m:place} you will have lost more than 2 % of your mass, {share:pct1} % by"
    " the end: ride easier, shorten the ride or stop to drink; do not gulp it all at once.",
    "heat_caution": "It will feel like {feels_c:.0f} degrees C in the shade: tiring; drink to thirst, ride"
    " easier uphill.",
    "heat_extreme_caution": "It will feel like {feels_c:.0f} degrees C in the shade, more in the sun: cramp"
    " and heat exhaustion are possible; start earlier, ride easier, seek shade.",
    "heat_danger": "It will feel like {feels_c:.0f} degrees C in the shade, more in the sun: heat stroke is"
    " possible; shorten the ride or move it.",
    "heat_extreme_danger": "It will feel like {feels_c:.0f} degrees C in the shade, more in the sun: heat"
    " stroke is likely; do not ride.",
    "heat_beyond_scale": "At {temperature_c:.0f} degrees C in air this damp the heat is beyond what the scale"
    " was made for: heat stroke is likely; do not ride.",
    "heat_lower_down": "What is said of heat is for the lowest place, {at_m:place}: about {temperature_c:.0f} °C"
    " there, {warmer_c:.0f} more than at the start.",
    "wet_bulb_discretion": "Wet-bulb heat is high: use discretion, above all if you are not used to heat.",
    "wet_bulb_limit": "Wet-bulb heat is in the band where hard exercise should be limited; ride easy, and"
    " short.",
    "wet_bulb_cancel": "Wet-bulb heat is in the band where events are called off; do not ride hard today.",
    "freezing": "Below freezing: look out for ice in the shade and on bridges. Bottles and tubes freeze; carry"
    " drink warm and inside a jersey.",
    "cold": "In this cold chews and bars turn hard; keep them close to the body.",
    "soaked": "{coldest_c:.0f} °C on a wet road: who is soaked cools out. Take rain clothes, dry gloves and a dry layer,"
    " keep eating, stand about nowhere, and go indoors once you shiver or the fingers no longer close on the brakes.",
    "strong_wind": "A wind of {wind_km_h:.0f} km/h: look up its gusts (gusts_m_s in the day file); where they reach"
    " {gusts_km_h:.0f} km/h, do not ride.",
    "thin_air": "The road climbs to {height_m:height} ({at_m:place}): above {from_m:height}, if you live low, power falls and"
    " mountain sickness is possible. With headache, nausea or a stumbling walk go down at once, and do not sleep up there.",
    "older": "At {age_y:.0f} thirst tells less, and heat, cold and much water at once are borne less well: drink little and"
    " often, ease off sooner, and talk to your doctor before a hard day.",
    "nothing_wanted": "You want no carbohydrate on a ride of {hours:.1f} hours: stores run low and you may feel suddenly"
    " empty. Carry something sweet all the same, and eat it at the first sign.",
    "caffeine_sleep": "The last caffeine of this plan is at {last:clock}: in a slow body {left_mg:tens} mg are"
    " left at {bed:clock}, which may keep you awake.",
    "thirst_decides": "More than {hours:.0f} hours with little sweat: here drinking too much does more harm than too"
    " little. Drink to thirst and no more, whatever this plan says; it may stay in the bottle.",
    "long_for_the_young": "{hours:.1f} hours in the saddle are long at {age_y:.0f}: plan where to stop, rest and be"
    " fetched, and shorten the ride if in doubt.",
    "for_parent": "For a parent or coach: under 18 this plan takes {limit_g_per_h:.0f} g of carbohydrate an"
    " hour at most, no caffeine, and stops for heat earlier than for adults. Ride along, let the rider eat,"
    " drink and stop at will, and turn home when it stops being fun.",
    "glycogen_low": "From about {from_m:place} your stores are predicted low; eat earlier, or ride easier"
    " before then.",
    "glycogen_may_be_low": "From about {from_m:place} your stores may run low if you burn more than most; eat"
    " on time.",
    "drink_strong": "{item} holds {carbohydrate_share:pct1} % carbohydrate; above 8 % a drink leaves the"
    " stomach more slowly, so take water with it.",
    "drink_salty": "{item} holds {sodium_mg_per_l:fifties} mg of sodium in a litre; up to {usual_mg_per_l:fifties} is"
    " usual for a sports drink.",
    # standing cautions
    "not_medical": "This plan is information, not medical advice; its figures are ranges. Try it in training"
    " first.",
    "illness": "With diabetes, kidney, heart or blood-pressure disease, or if you are pregnant, ask your"
    " doctor first; insulin and long rides need a plan of their own.",
    "allergy": "Check every food for allergies, coeliac disease and fructose intolerance.",
    "eating": "The amounts are there to keep you riding well; they are no target to stay below.",
    "thirst": "Drink to thirst, and never so much that you weigh more after the ride than before. Headache, nausea, confusion or swelling:"
    " stop drinking and get help.",
    "choking": "Nothing hard while you breathe hard: chew and swallow before the effort.",
    "hands": "Both hands on the bars on descents, in bends, traffic, groups and tunnels, on wet or rough"
    " road."
    " The plan sees no traffic, and the surface only as a map has it: if unsure, stop to eat.",
    "law": "Local law comes first: hand signals, phones, where you may stop.",
    "litter": "Keep wrappers and bottles with you; a dropped bottle brings riders down.",
    "caffeine": "Caffeine: at most 200 mg at once and 400 mg a day for a healthy adult, less in pregnancy and"
    " under 18; with medicines or a heart condition ask a doctor.",
    "heat": "Confusion, shivering in the heat or a stumbling walk are signs of heat stroke: stop, cool"
    " down at"
    " once and call for help.",
    "cold_hands": "Cold hands open nothing: unwrap and cut up beforehand, and eat before you chill.",
    "bonk": "If you suddenly feel empty: ease off, eat something quick, drink, and keep eating; end the ride if it"
    " does not pass.",
    "salt": "More salt than the plan brings is rarely needed, and none makes overdrinking safe.",
    # two weighings
    "sweat_gained": "You sweated about {rate_ml_per_h:.0f} ml an hour (give or take {error_ml_per_h:.0f} with"
    " a scale to 100 g), and you gained {gained_kg:.1f} kg: you drank more than you lost, which can be"
    " dangerous; drink less, to thirst, and never so much that you gain.",
    "sweat_much_lost": "You sweated about {rate_ml_per_h:.0f} ml an hour (give or take {error_ml_per_h:.0f}"
    " with a scale to 100 g), and lost {lost_share:pct1} % of your mass, more than 2 %: drink somewhat more on"
    " such a ride.",
    "sweat_little_lost": "You sweated about {rate_ml_per_h:.0f} ml an hour (give or take {error_ml_per_h:.0f}"
    " with a scale to 100 g), and lost {lost_share:pct1} % of your mass, which is within 2 %.",
    # a calibration
    "calibrated_by_ride": "You moved at {speed_m_s:speed}, which takes about {flat_w:.0f} W on the flat and"
    " {climb_w:.0f} W uphill with a drag area of {drag_m2:.2f} m² and a wind of {wind_m_s:.1f} m/s from"
    " {wind_from_deg:.0f} degrees; halts took {halted_s:duration}. With {fitted} fitted on the first half"
    " only, the second half comes out {off_share:pct1} % {way} than the {held_out_s:duration} recorded; a half"
    " kilometre is off by {block_share:pct0} %. {of_ftp}",
    "fitted_drag": "drag and wind, with the measured power,",
    "fitted_power_and_drag": "power, drag and wind",
    "slower": "slower",
    "faster": "faster",
    "no_ftp": "To plan with it, say your FTP with --ftp-w (or in rider.toml): FTP and the effort that goes with"
    " it are only worth something together.",
    "ftp_shown": "Your best was {twenty_min_w:.0f} W for 20 min{hour}: your FTP is at least {ftp_w:.0f} W, more"
    " if you could have gone harder. {shares}",
    "and_hour": " and {hour_w:.0f} W for an hour",
    "efforts_of_shown": "The efforts below are shares of that.",
    "efforts_of_told": "The efforts below are shares of your FTP of {ftp_w:.0f} W.",
    "efforts_of_low": "The FTP you gave is lower: the efforts below are shares of its {ftp_w:.0f} W.",
    "calibrated_by_sentence": "{length_m:length0} with {ascent_m:height} of climbing in {moving_s:duration}"
    " takes about {flat_w:.0f} W on the flat and {climb_w:.0f} W uphill. One sentence cannot tell drag, hills"
    " and wind apart: anything from {low_w:.0f} to {high_w:.0f} W on the flat fits it; a recording narrows"
    " that. {of_ftp}",
    # many rides under bad luck
    "no_ride": "no ride",
    "few_rides": "fewer than 1 ride in 100",
    "rides_in_100": "about {hundredths:.0f} {hundredths:ride|rides} in 100",
    "chance_ran_dry": "{how_many} wanted a drink and found the bottles empty",
    "chance_lost_too_much": "{how_many} lost more than 2 % of body mass in sweat",
    "chance_overdrunk": "{how_many} drank half a litre more than was sweated",
    "chance_stores_low": "{how_many} ran low on stored carbohydrate",
    "chance_gut_over": "{how_many} took over a tenth more in an hour than the gut is trained for",
    "advice": "{change}: {after_share:pct0} % of rides go well then, {before_share:pct0} % without",
    "larger_mouthfuls": "every mouthful a quarter larger",
    "more_bottle": "one more bottle of {bottle_ml:.0f} ml",
    "more_bottle_larger_mouthfuls": "one more bottle of {bottle_ml:.0f} ml, every mouthful a quarter larger",
    "more_food": "one more {item} at about {place_m:place}",
    # refills and bottles
    "nothing": "",
    "sleep_here": "Sleep at {place}, {at_m:place}, from {lies_down:clock} to {gets_up:clock}: {last}eat and drink before you"
    " lie down, put something dry and warm on, set two alarms; {first}ride on slowly until you are awake.",
    "sleep_somewhere": "the roadside",
    "sleep_last_food": "the last food on the way is at {at_m:place}; ",
    "sleep_first_food": "the next food is at {at_m:place}; ",
    "long_awake": "You are awake for {hours:.0f} h of this ride: who is sleepy rides like a drunk. Plan sleep (sleep_h in the"
    " day file), and lie down for twenty minutes wherever your eyes close.",
    "small_hours": "You ride through the small hours, when everybody is sleepiest: sleep before the start, and where your"
    " eyes close lie down for twenty minutes; nobody rides well on will alone.",
    "unnamed_refill": "refill",
    "spare_bottle": "spare bottle",
    "the_feed": "the feed",
    "the_finish": "the finish",
    "that_place": "{at_m:place}",
    "feed_beyond": "The feed at {at_m:place} lies beyond the finish and is left out of the plan.",
    "feed_unknown": "The feed at {at_m:place} offers {items:list}, which the pantry does not have: add an"
    " [[item]] of that name if it may be eaten; until then it is not planned.",
    "unsure_refill": "{place} at {at_m:place} may be shut: {advice}",
    "refill_matters": "This plan leans on {place} at {at_m:place}; should it be shut, {advice}",
    "shut_does_not_matter": "the bottles are filled so that it does not matter.",
    "shut_next_water": "the bottles last to the next water at {at_m:place}.",
    "shut_leaves_short": "{missing_ml} ml are missing before {upto}: carry a spare bottle, or ask at a house"
    " early.",
    "shut_sip_less": "{missing_ml} ml are missing before {upto}: sip {less_share:pct0} % less from"
    " {since_m:place} on, or carry a spare bottle.",
    "thirsty": "{shortage}. The loss stays below 2 % of body mass.",
    "short_no_bottle": "{short_ml:tens} ml short between {start_m:place} and {end_m:place}: no bottle is"
    " within reach; add one to the pantry",
    "short_refill_near": "{short_ml:tens} ml short between {start_m:place} and {end_m:place}: {more}, or a"
    " refill near {near_m:place}",
    "short_refill_between": "{short_ml:tens} ml short between {start_m:place} and {end_m:place}: {more}, or"
    " a refill between {first_m:place} and {last_m:place}",
    "short_refills": "{short_ml:tens} ml short between {start_m:place} and {end_m:place}: {halts} refills"
    " on the way, the first before {before_m:place}, or {more}",
    "one_more_bottle": "one more bottle",
    "more_bottles": "{count} more bottles",
    "water_with_bites": "water to wash the bites down",
    "energy_and_salt": "energy and salt, at the strength on the packet",
    "energy_thinner": "energy and salt, thinner than on the packet",
    "handed_out": "what {place} hands out",
    "left_over": "{why}; some is left over for a longer day",
    "fuller_in_case": "{why}; fuller than this road needs, should {place} be shut",
    "only_in_case": "only in case {place} is shut",
    "more_than_in_reach": "{wanted_ml:tens} ml are wanted before {upto} and the bottles in reach hold"
    " {held_ml:tens}",
    "pour_over_soon": "the spare bottle is poured over as soon as there is room",
    "poured_over": "poured over from the {container}",
    "halt_to_pour_over": "halt for a minute: {why}",
    "fill_here": "{place}: fill the {container} with {fluid_ml:tens} ml of {item}",
    "out_of_the_bag": "Bites from the {containers:list} go into a pocket at the halt before them"
    " ({halts:list}): take out what the rows up to the next halt name.",
    "take_out": "{what}; out of the {containers:list} into a pocket: {items:list}",
    "tip_out_first": "{what}; tip out the last {tipped_ml:tens} ml first",
    "fill_here_if_open": "{place}: fill the {container} with {fluid_ml:tens} ml of {item}; it may be shut",
    "take_here": "{place}: take the new {container}, give back the old one",
    "take_here_if_there": "{place}: take the new {container}, give back the old one, if anybody is there",
    # pockets, the reserve, weight
    "full_pockets": "{over} {over:piece|pieces} more than the {held} that fit within reach; add a pocket or"
    " a bag, take denser food, or have some of it handed up on the way",
    "bag_needed": "the pockets are full: the rest goes into the {container}",
    "no_reserve": "Nothing is kept back for the {wanted_min:.0f} min wanted: put more food or a roomier pocket into"
    " the pantry.",
    "reserve_short": "The reserve holds {kept_g:.0f} g of carbohydrate, good for {good_for_min:.0f} of the"
    " {wanted_min:.0f} min wanted: put more food or a roomier pocket into the pantry.",
    "heavy_load": "Food and drink weigh {total_kg:.1f} kg at the start, the pace reckons with"
    " {assumed_kg:.1f} kg carried: set carried_mass_kg, or use more refills.",
    # what is done beforehand
    "buy_on_the_way": "take {count} {item} along from {place} at {at_m:place}",
    "renew_reserve": "{place} at {at_m:place}: what is eaten of the reserve by then is bought anew, up to {count} {item}",
    "renew_reserve_of_helper": "{place} at {at_m:place}: what is eaten of the reserve by then is given anew, up to {count} {item}",
    "lay_out": "lay out {taken} of the {stock} in stock",
    "lay_out_last": "lay out {taken} of the {stock} in stock; {last}",
    "last_in_stock": "that is the last: buy more for the next ride",
    "cut_into_bites": "cut each into {each} bites",
    "wrap_bite": "wrap the bite in foil, an end left to pull",
    "wrap_bites": "wrap {bites} bites one by one in foil, an end left to pull",
    "open_now": "open it now and wrap it loosely: on the road it takes two hands",
    "weigh_into_bag": "weigh {powder_g:.0f} g into a small bag, for {fluid_ml:tens} ml in the {container} at"
    " {place}",
    "mixed_by_helper": "{item} for the {container} goes along with who hands it up, {place}: their sheet says"
    " how much",
    "freeze_half": "freeze {half_ml:fifties} ml in the {container}, lying down and open; top it up in the"
    " morning",
    "fill_bottle": "{container}: {what}{warm}; {why}",
    "drink_in_bottle": "{fluid_ml:tens} ml of {item}",
    "powder_in_water": "{powder_g:.0f} g of {item} in {fluid_ml:tens} ml of water",
    "warm": ", warm",
    "pack": "{rows:list}",
    "packed_powder": "{count} × {item} powder",
    "packed_bites": "{count} {count:bite|bites} of {item}",
    "packed_whole": "{count:count} × {item}",
    "check_breakfast": "a breakfast you know, two to three hours before the start",
    "check_meal": "a meal you know, two to three hours before the start",
    "check_bicycle": "tyres, brakes, lights, bottles shut and firm in their cages",
    "check_weather": "look at the forecast again: the plan reckons with {temperature_c:.0f} °C",
    "check_sun": "sun cream, and some to take along",
    "check_rain": "rain jacket, overshoes and a dry pair of gloves in a bag",
    "wrap_for_gloves": "cold hands: leave a long end on every wrapper, tear it a little beforehand and open each"
    " one once with gloves on",
    "carry_warm": "{items:list}: close to the body, in an outer pocket they turn hard",
    "check_halts": "{count} {count:halt|halts}, {standing_min:count} min of standing in all: {places:list}",
    "load": "{total_kg:.1f} kg in all: {drink_kg:.1f} kg of drink, {food_kg:.1f} kg of food",
    "load_drink": "{drink_kg:.1f} kg of drink",
    "load_without": "{total_kg:.1f} kg without {items:list}: give their mass_g in the pantry to weigh all",
    # a rehearsal
    "rehearse_not_at_hand": "{item}: not in the pantry; get what the race hands out and try it before",
    "rehearse_too_short": "{item}: try it on a ride of two hours or more; a short one tells the stomach"
    " nothing",
    "rehearse_lower_rate": "{item}: {training_g:.0f} g in an hour here, {race_g:.0f} g in the race; take"
    " more of it in one hour of this ride",
    "rehearse_full_rate": "{item}: {training_g:.0f} g in an hour, as much as in the race",
    # mishaps
    "mishap_tap_shut": "{place} at {at_m:place} gives nothing: {then}{beforehand}.{too_little}",
    "so_much_is_left": "about {left_ml:tens} ml are left",
    "nothing_is_left": "the bottles are empty then",
    "shut_ride_on": "{left}, ride on to {next} at {next_m:place}, {gap_m:length} away{ask}",
    "shut_ask": "; you will want {wanted_ml:tens} ml by then, so ask at a house",
    "shut_to_finish": "{left} and no other tap comes; ask at a house",
    "if_known_fill": "; if you hear of it before, fill up at {places:list}",
    "named_place": "{name} ({at_m:place})",
    "mishap_too_little": " From about {from_m:place} it will not do: ride easier, or buy a drink.",
    "mishap_bottle_lost": "The {bottle} is lost: fill the rest to the brim at every halt; {then}.{too_little}",
    "lost_halt_also": "halt at {places:list} too if still ahead",
    "lost_halts_stay": "the halts stay as they are",
    "mishap_only_bottle_lost": "The {bottle} is lost, and there is no other: buy something to drink before you"
    " ride on.",
    "mishap_late": "Held up for {minutes:.0f} min, say at {half_m:place}: {eat}go on by the distances, not by the"
    " clock, and do not chase; {bites}. Finish about {home:clock}{lights}.",
    "late_eat_standing": "eat the {item} standing; ",
    "late_bites_more": "take {count} {count:bite|bites} more from the reserve",
    "late_bites_less": "leave out {count} {count:bite|bites}",
    "late_bites_same": "no bite more, none less",
    "late_lights": ", in the dark: lights on",
    "mishap_stomach": "Stomach turned: leave out the {item} at {next_m:place} and sip water; {calm}. If it stays,"
    " eat nothing, ride home easily; get help if you cannot keep drink down.",
    "stomach_calm": "once it is calm about {rate_g_per_h:.0f} g an hour, {small}{dropped}",
    "stomach_water": "stay with water; once it is calm try a corner of the softest that you carry",
    "stomach_small": "in drink and {items:list}",
    "stomach_drink_only": "in drink only",
    "stomach_leave_out": "; no {items:list}",
    "mishap_rain": "Rain before a descent: {moves:semicolons}{others}. Brake early{slower}.",
    "rain_move": "the {item} of {from_m:place1} at {to_m:place1}",
    "rain_leave_out": "no {item} at {from_m:place1}",
    "rain_and_more": " and {count} more",
    "mishap_rain_nothing_moves": "Rain before a descent: every bite stays where it is. Brake early{slower}.",
    "rain_slower": " and be about {later_s:duration} later",
    # the road
    "marked_place": "Marked place",
    "ride_on": "{name}: ride on, both hands on the bars.",
    "take_care": "{name}: take care, both hands on the bars.",
    "tunnel": "Tunnel",
    "like_a_tunnel": "The heights look like a tunnel",
    "lights_on": "{what}: lights on, both hands on the bars.",
    "unknown_bends": "The route's points are too far apart here to show bends: look before a hand leaves"
    " the bars.",
    "cold_top": "About {top_c:.0f} °C at the top, {colder_c:.0f} °C colder than the start{feels}: keep the"
    " stop short and dress before the descent.",
    "feels_on_descent": ", and like {chill_c:.0f} °C on the face on the way down",
    "hairpins": "{count} {count:hairpin|hairpins} in {length_m:length} at {grade:pct0} %{wet}: both hands"
    " on the bars.",
    "tight_bends": "{count} bends in {length_m:length} at {grade:pct0} %, each tighter than the speed there"
    " allows{wet}: both hands on the bars.",
    "on_wet_road": ", on a wet road",
    "exposed": "High, open ground: may be exposed to gusts.",
    "exposed_to_wind": "High, open ground, no shelter from the {wind}: may be exposed to gusts.",
    "north": "north",
    "north_east": "north-east",
    "east": "east",
    "south_east": "south-east",
    "south": "south",
    "south_west": "south-west",
    "west": "west",
    "north_west": "north-west",
    "dark_between": "The sun sets at {sets:clock} and rises at {rises:clock}: lights on, and food by touch.",
    "dark_at_the_end": "The sun sets at {sets:clock}, before the finish: lights on from here.",
    "dark_at_the_start": "The sun rises at {rises:clock}, after the start: lights on until then.",
    "dark_throughout": "The whole ride is in the dark: lights on.",
    # why here
    "pin": "your own wish",
    "place_and_item": "{place}; {item}",
    "moved": "{where}: {rule}",
    "right_here": "right here",
    "right_at_crest": "right at the crest",
    "right_at_stop": "right at {stop}",
    "moved_on": "moved {moved_m:length} on",
    "moved_on_to_crest": "moved {moved_m:length} on to the crest",
    "moved_on_to_stop": "moved {moved_m:length} on to {stop}",
    "far_on": "moved well on",
    "far_on_to_crest": "moved well on to the crest",
    "far_on_to_stop": "moved well on to {stop}",
    "far_back": "moved well back",
    "far_back_to_crest": "moved well back to the crest",
    "far_back_to_stop": "moved well back to {stop}",
    "moved_back": "moved {moved_m:length} back",
    "moved_back_to_crest": "moved {moved_m:length} back to the crest",
    "moved_back_to_stop": "moved {moved_m:length} back to {stop}",
    "own_rule": "{says}",
    "rule_first_food": "the first food: early, before it is missed",
    "rule_apart": "no two bites close together",
    "rule_bites_go_on": "something to bite goes on",
    "rule_bites_to_the_end": "something to bite to the end",
    "rule_last_food": "nothing long without food before the end",
    "rule_rhythm": "keeps the rhythm",
    "rule_crest": "easier to digest on the way down",
    "rule_crest_passed": "no crest is passed without food",
    "rule_gentle_descent": "level or gently downhill",
    "rule_easy_breathing": "breathing is easy here",
    "rule_same_place": "the same place each lap",
    "rule_small_bites": "a small bite",
    "rule_long_climb_soft": "small and soft on the long climb",
    "rule_top_up": "topped up before the climb",
    "rule_slow_early": "slow and solid first",
    "rule_quick_late": "quick sugar is kept for late",
    "rule_final_hour": "quick sweets in the final hour",
    "rule_caffeine_late": "caffeine only now",
    "rule_caffeine_wanted": "caffeine helps from here on",
    "rule_variety": "something else than last time",
    "rule_solids_throughout": "something solid in between",
    "rule_one_handed": "opens with one hand",
    "rule_reach": "within reach",
    "rule_hands_on": "both hands belong on the bars there",
    "rule_approach": "a stretch for both hands begins there",
    "rule_last_ten_minutes": "nothing so close to the end",
    "rule_free_hands": "the hands are free here",
    "rule_sip_with_bite": "a mouthful with the bite",
    "rule_sip_on_climbs": "keep sipping uphill",
    "rule_sip_hands": "a hand is free for the bottle",
    "rule_sip_safety": "both hands on the bars",
    "sip_with_the_bite": "a mouthful with the bite helps it down",
    "sip_on_the_way_up": "sip on the way up, so that no bottle has to be emptied at the top",
    "sip_little_and_often": "little and often, where a hand is free for the bottle",
    "sip_before_the_halt": "drink once more before the halt",
    "sip_the_rest": "finish the {container}: it is filled in a moment",
    "limit_stock": "stock",
    "limit_reserve": "reserve",
    "limit_amount": "amount",
    "limit_caffeine": "caffeine",
    "limit_hour": "carbohydrate in an hour",
    "limit_veto_or_gap": "veto or shortest gap",
    # the rider's own wishes
    "pins": "Your pins: {changes:semicolons}{more}. {kept} of {bites} bites stay as they were.",
    "now_eaten": "now {item} at {at_m:place}",
    "no_longer_eaten": "no longer {item} at {at_m:place}",
    "and_more": " and {count} more",
    # amounts that are too much, and days not to ride
    "ftp_question": "An FTP of {ftp_w:.0f} W at {body_mass_kg:.0f} kg is {w_per_kg:.1f} W a kilogram: hardly anybody"
    " holds that for an hour. Is it right? Pace, sweat, food and drink follow from it; correct ftp_w or"
    " body_mass_kg in the rider file if not.",
    "sodium_question": "{item} has {sodium_mg:.0f} mg of sodium in one: is that right? Labels give grams of salt;"
    " one gram is 393 mg of sodium. Correct sodium_mg in the pantry file if not.",
    "sodium_over": "{total_mg:.0f} mg of sodium within {hours:.0f} h from {start_m:place} on, mostly from {item};"
    " at most {most_mg:.0f}. Is its label read right? One gram of salt is 393 mg of sodium: correct sodium_mg in"
    " the pantry file",
    "single_sugars_over": "{total_g:.0f} g of single sugars within an hour from {start_m:place} on, mostly from"
    ' {item}; at most {most_g:.0f}: bring food of both kinds, or write sugars = "mixed" in the pantry file for'
    " what has them",
    "held_for_single_sugars": "Held to 60 g of carbohydrate an hour: too much of the food at hand is one kind of"
    " sugar.",
    "caffeine_over": "{total_mg:.0f} mg of caffeine within an hour from {start_m:place} on, at most one dose of"
    " {dose_mg:.0f}: lower caffeine_mg_max in the rider file",
    "drink_in_doubt": "{drunk_ml:tens} ml are drunk by the finish; if you sweat as little as {low_ml:tens} ml, that"
    " is {over_ml:tens} more than is safe: drink to thirst, and put your weighed sweat_rate_ml_per_h into the"
    " rider file",
    "loss_dangerous": "from {start_m:place} on more than 4 % of body mass is lost, {share:pct1} % at worst: that is"
    " dangerous; add a [[feed]] to the day file, shorten the ride or ride easier",
    "do_not_ride": "do not ride: {why}",
    "storm_gusts": "gusts of {gusts_km_h:.0f} km/h throw a bicycle across the road; choose another day: start in"
    " the day file",
    "storm_wind": "a wind of {wind_km_h:.0f} km/h throws a bicycle across the road; choose another day: start in"
    " the day file",
    "hot_down_there": " ({temperature_c:.0f} °C at the lowest place, {at_m:place})",
    "heat_for_the_unused": "in heat like this{where} events are called off for riders not used to it; start when it is"
    " cooler, or set heat_acclimatised = true in the rider file after ten days of riding in heat",
    "heat_for_all": "in heat like this{where} events are called off for everybody; start when it is cooler: start and"
    " temperature_c in the day file",
    "heat_for_the_young": "in heat like this{where} sport is called off under 18; start when it is cooler: start and"
    " temperature_c in the day file",
    "cold_and_wet": "{coldest_c:.0f} °C on a wet road: ice in the shade and on bridges, and wet clothes in the"
    " wind; choose another day: start in the day file",
    "wet_and_cold": "{hours:.1f} hours in the saddle on a wet road at {cold_c:.0f} °C or colder, where {most_h:.0f} are the"
    " most: soaked bodies cool out; shorten the ride, or choose another day: start in the day file",
    "frostbite": "it feels like {chill_c:.0f} °C on the face while riding: frostbite; choose another day: start in"
    " the day file",
    "night_without_light": "it is dark from {start_m:place} on and the bicycle has no lights; mount some and set"
    " lights = true in the rider file, or start earlier",
    "too_long_for_the_young": "{hours:.1f} hours in the saddle at {age_y:.0f} years, where {most_h:.0f} are the most;"
    " shorten the route, or ride it in days",
    "effort_too_long": "{effort:pct0} % of FTP for {hours:.1f} h, where {allowed:pct0} % is what lasts so long:"
    " lower effort_flat and effort_climb in the day file, or correct ftp_w",
    # hard rules that cannot be kept
    "not_kept": "NOT KEPT: {what}",
    "long_gap": "{gap_min:.0f} min without food between {start_m:place1} and {end_m:road1},"
    " {over_min:.0f} more"
    " than the {longest_min:.3g} allowed",
    "no_drink_with_bite": "no drink with the {item}: the bottles are empty or the road allows no sip in"
    " time; carry more to drink, or add a refill before it",
    "no_drink_with_bites": "no drink with {count} bites: the bottles are empty or the road allows no sip in"
    " time; carry more to drink, or add a refill before it",
    "fluid_in_food": "the fluid in the food itself is {over_ml:.0f} ml more than may be drunk by then; take"
    " food with less fluid in it",
    "rule_foot_of_climb": "not at the foot of the climb",
    "rule_at_the_halt": "at the halt rather than beside it",
    "rule_steep_ramp": "not on the steep ramp",
    "rule_fed_for_the_ramp": "easier to eat here than on the steep ramp",
    "rule_chewing": "goes down without chewing",
    "rule_soft_in_cold": "stays soft in the cold",
    "gap_slightly_over": "{gap}: little enough to let it be",
    "filled_to_the_brim": "Every bottle leaves full: filled as the road alone asks, about {hundredths:.0f} rides"
    " in 100 found them empty.",
    "cut_short": "A day as long or as full as this one takes much to plan, so the planning was cut short:"
    " {parts:list}.",
    "left_out_bites": "better places for the bites were not sought to the end",
    "left_out_changes": "not every change in the kitchen was tried",
    "left_out_proof": "how much better a plan could be was not worked out to the end",
    "left_out_remedies": "not everything that might help was tried",
    "left_out_mishaps": "not every mishap was planned",
    "one_and_another": "{first} {second}",
    "left_at_home": "Stays at home, for the pockets hold no more: {items:list}.",
    "cut_finer": "Cut into more bites than the pantry says, so that the rhythm holds: {items:list}.",
    "with_remedy": "{what}. Tried, and it helps: {remedy}",
    "longer_gap": "longest_gap_min = {gap_min:.0f} in the rider file",
    "add_feed": "add [[feed]] at_km = {at_km} to the day file",
    "add_two_feeds": "add [[feed]] at_km = {first_km} and [[feed]] at_km = {second_km} to the day file",
    "add_pocket": 'add [[container]] name = "{name}" holding {items} to the pantry file',
    "raise_limit": "carbohydrate_limit_g_per_h = {limit_g_per_h:.0f} in the rider file, if the gut is"
    " trained to it",
    "raise_count": "count = {count} for {item} in the pantry file",
    "carbohydrate_limited": "{planned_g_per_h:.0f} g of carbohydrate an hour are planned,"
    " {wanted_g_per_h:.0f} wanted: {limit}{tried}.",
    "limited_remedy": "; tried: {planned_g_per_h:.0f} g an hour with this: {change:clause}",
    "limited_by_gut": "more does not fit under the limit of the gut",
    "limited_by_stock": "the food at home does not last",
    "limited_by_drink_strength": "drink brings no more: as much as thirst asks for and"
    " the bottles hold, no stronger than packet and gut allow",
    "limited_by_time": "the ride is too short for more bites",
    "limited_by_places": "too much of the road wants both hands",
    "limited_by_portions": "the pieces are too large to fit one more into an hour",
    "limited_by_rhythm": "the rhythm brings no more bites",
    "limited_by_room": "the pockets hold no more; one more, or food handed up on the way, brings it",
    "eat_sooner": "first_food_min = {first_min:.0f} in the rider file",
    "eat_oftener": "eat_every_min = {every_min:.0f} in the rider file",
    "water_instead": "Water instead of mix in the bottles, so that the rhythm of b"
    "ites holds under the limit of the gut.",
    "cut_finer_and_water": "Cut into more bites than the pantry says ({items:list}), and"
    " water instead of mix, so that the rhythm holds.",
    "track_repeated": "Points {first:count} to {last:count} of {source} are track {track:count} once more and "
    "left out; if you ride it twice, put both laps into one track.",
    "stray_points": "{count:count} {count:point|points} of {source}, from point {first:count} at "
    "{at_m:place1} on, {count:lies|lie} {off_m:length} off the road and {count:is|are} left "
    "out as stray.",
    "two_laps": "From point {first:count} on {source} repeats itself point by point: two laps are "
    "planned; if you ride one, export it once.",
    "sparse_points": "The points of {source} lie {leg_m:length} apart: no bend and no climb between them can "
    "be seen; export the route with all its points.",
    "straight_leg": "From point {first:count} to {last:count} of {source}, at {at_m:place1}, there are "
    "{leg_m:length} without a point: is the road straight there? If not, export the whole "
    "route.",
    "straight_legs_more": "{count:count} more {count:leg|legs} of {source} {count:is|are} as long.",
    "waypoints_thinned": "{given:count} waypoints stand in {source}: of each kind one in every 250 m is used, {kept:count} in all.",
    "heights_all_zero": "Every height in {source} is 0: heights are taken from tiles.",
    "heights_zero_throughout": "Every height in {source} is 0, so no climb is seen: is the road level by the sea? If"
    " not, put tiles into a folder and name it with --elevation, or let them be fetched with --online.",
    "heights_leap": "At {at_m:place1} the heights differ by {rise_m:height} over {over_m:height}: no road is so steep,"
    " and what is reckoned of it cannot be; take heights from tiles (--heights tiles), or export the route again.",
    "heights_above_all_roads": "At {at_m:place1} the road is {height_m:height} high, higher than any road: take heights"
    " from tiles (--heights tiles), or export the route again.",
    "heights_bridged": "{count:count} {count:point has|points have} no height, the first is point {first:count} "
    "of {source} at {at_m:place1}: heights are bridged in straight lines.",
}
