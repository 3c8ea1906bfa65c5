"""English: sentences that name files and their keys, as the kitchen table says them, by its panels and fields."""

PANELS = {
    "long_awake": "You are awake for {hours:.0f} h of this ride: who is sleepy rides like a drunk. Plan sleep (Day,"
    " more of the day: Each sleep), and lie down for twenty minutes wherever your eyes close.",
    "feed_unknown": "The feed at {at_m:place} hands out {items:list}, which the kitchen does not have: put it in"
    " there under that name if it may be eaten; until then it is not planned.",
    "heavy_load": "Food and drink weigh {total_kg:.1f} kg at the start, the pace counts on {assumed_kg:.1f} kg of"
    " load: change Carried (Rider, more of the bicycle), or fill up more often.",
    "load_without": "{total_kg:.1f} kg without {items:list}: say in the kitchen what they weigh, and all is weighed",
    "ftp_question": "An FTP of {ftp_w:.0f} W at {body_mass_kg:.0f} kg is {w_per_kg:.1f} W a kilogram: hardly anybody"
    " holds that for an hour. Is it right? Pace, sweat, food and drink follow from it; correct power or weight"
    " under Rider if not.",
    "sodium_question": "{item} has {sodium_mg:.0f} mg of sodium in one: is that right? Labels give grams of salt;"
    " one gram is 393 mg of sodium. Correct its sodium in the kitchen if not.",
    "sodium_over": "{total_mg:.0f} mg of sodium within {hours:.0f} h from {start_m:place} on, mostly from {item};"
    " at most {most_mg:.0f}. Is its label read right? One gram of salt is 393 mg of sodium: correct its sodium in"
    " the kitchen",
    "single_sugars_over": "{total_g:.0f} g of single sugars within an hour from {start_m:place} on, mostly from"
    " {item}; at most {most_g:.0f}: bring food of both kinds, or say in the kitchen which has two kinds of sugar",
    "caffeine_over": "{total_mg:.0f} mg of caffeine within an hour from {start_m:place} on, at most one dose of"
    " {dose_mg:.0f}: lower Most caffeine (Rider, more of the rider)",
    "drink_in_doubt": "{drunk_ml:tens} ml are drunk by the finish; if you sweat as little as {low_ml:tens} ml, that"
    " is {over_ml:tens} more than is safe: drink to thirst, and put in what you weighed (Rider, more of the rider:"
    " Sweat, measured)",
    "loss_dangerous": "from {start_m:place} on more than 4 % of body mass is lost, {share:pct1} % at worst: that is"
    " dangerous; add a tap or a feed under Day, shorten the ride or ride easier",
    "storm_gusts": "gusts of {gusts_km_h:.0f} km/h throw a bicycle across the road; choose another day",
    "storm_wind": "a wind of {wind_km_h:.0f} km/h throws a bicycle across the road; choose another day",
    "heat_for_the_unused": "in heat like this{where} events are called off for riders not used to it; start when it"
    " is cooler, or, after ten days of riding in heat, say that you are used to it (Rider, more of the rider)",
    "heat_for_all": "in heat like this{where} events are called off for everybody; start when it is cooler, and put"
    " start and temperature in under Day",
    "heat_for_the_young": "in heat like this{where} sport is called off under 18; start when it is cooler, and put"
    " start and temperature in under Day",
    "cold_and_wet": "{coldest_c:.0f} °C on a wet road: ice in the shade and on bridges, and wet clothes in the"
    " wind; choose another day",
    "strong_wind": "A wind of {wind_km_h:.0f} km/h: look up its gusts and put them in under Day; where they reach"
    " {gusts_km_h:.0f} km/h, do not ride.",
    "wet_and_cold": "{hours:.1f} hours in the saddle on a wet road at {cold_c:.0f} °C or colder, where {most_h:.0f} are the"
    " most: soaked bodies cool out; shorten the ride, or choose another day",
    "frostbite": "it feels like {chill_c:.0f} °C on the face while riding: frostbite; choose another day",
    "night_without_light": "it is dark from {start_m:place} on and the bicycle has no lights; mount some and say so"
    " (Rider: Lights), or start earlier",
    "effort_too_long": "{effort:pct0} % of FTP for {hours:.1f} h, where {allowed:pct0} % is what lasts so long:"
    " lower the efforts under Day, or correct the power for an hour under Rider",
    "longer_gap": "a longest gap of {gap_min:.0f} min (Rider)",
    "add_feed": "a tap, shop or feed at km {at_km} (Day)",
    "add_two_feeds": "a tap, shop or feed at km {first_km} and at km {second_km} (Day)",
    "add_pocket": "one more pocket or bag for {items} items, such as a {name} (Kitchen)",
    "raise_limit": "most carbohydrate {limit_g_per_h:.0f} g/h (Rider), if the gut is trained to it",
    "raise_count": "{count} of {item} in the kitchen",
    "eat_sooner": "the first bite after {first_min:.0f} min (Rider, more habits)",
    "eat_oftener": "a bite every {every_min:.0f} min (Rider)",
    "heights_zero_throughout": "Every height of this route is 0, so no climb is seen: is the road level by the sea?"
    " If not, export the route with heights and drop it on the first page again.",
    "heights_leap": "At {at_m:place1} the heights differ by {rise_m:height} over {over_m:height}: no road is so steep,"
    " and what is reckoned of it cannot be; export the route again, with other heights, and drop it anew.",
    "heights_above_all_roads": "At {at_m:place1} the road is {height_m:height} high, higher than any road: export the"
    " route again, with other heights, and drop it anew.",
    "map_buys_unknown": "Mapped shops sell {items:list} (Day), which the kitchen does not have: put it in there"
    " under that name so that it can be planned.",
}
