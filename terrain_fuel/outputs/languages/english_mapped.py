"""English: what the map says of the road."""

SENTENCES = {
    "off_the_road": "{offset_m:tens} m off the road, {climb_m:.0f} m up, {detour_s:duration} there and back",
    "with_detour": "{what} ({aside})",
    "map_dated": "data of {date}, {years:.1f} years old",
    "map_new": "data of {date}",
    "map_undated": "data of an unknown age",
    "from_the_map": "From the map {source}, {age}: {used:count} of {places:count} places with water or food are"
    " used; {spots:count} signals, signs and crossings, {sections_m:length} of paving, tunnels, bridges or narrow"
    " road and {names:count} names are taken in; {found_share:share} of the road was found on it. Maps are"
    " wrong at times: look before you trust, and ask whether a tap is one to drink from."
    " {attribution}.",
}

LABELS = {
    "map.attribution": "Map data: {attribution}",
}
