"""English: what the map says of the road."""

SENTENCES = {
    "off_the_road": "{offset_m:tens} m off the road, {climb_m:.0f} m up, {detour_s:duration} there and back",
    "with_detour": "{what} ({aside})",
    "map_dated": "data of {date}, {years:.1f} years old",
    "map_new": "data of {date}",
    "map_undated": "data of an unknown age",
    "rough_road": "{what} for {length_m:length}: both hands on the bars.",
    "uneven_road": "{what} for {length_m:length}: hold the bars loosely, eat before or after.",
    "surface_cobbles": "Cobbles",
    "surface_gravel": "Loose gravel",
    "surface_firm_gravel": "Firm gravel",
    "surface_ground": "Unpaved ground",
    "surface_broken": "A broken surface",
    "tunnel_dark": "Tunnel without lamps",
    "tunnel_lit": "Tunnel, lit",
    "tram_rails": "Tram rails in the road for {length_m:length}: keep clear of them, both hands on the bars.",
    "tram_crossing": "Tram rails: cross them squarely, both hands on the bars.",
    "level_crossing": "Level crossing: look, cross the rails squarely, both hands on the bars.",
    "humps": "{count} speed {count:hump|humps}.",
    "narrow_road": "Narrow road for {length_m:length}: keep right in blind bends.",
    "bridge": "Bridge of {length_m:length}: there may be gusts, and it freezes first.",
    "map_buys_unknown": "map_buys names {items:list}, which the pantry does not have: add an [[item]] of that name,"
    " so that it can be planned.",
    "map_places": "{places:count} {places:place|places} with water or food",
    "map_places_used": "{used:count} of {places:count} places with water or food are used",
    "from_the_map": "From the map {source}, {age}: {offered}; {spots:count} signals, signs and crossings, {sections_m:length} of rough surfaces, tunnels, bridges, junctions or narrow"
    " road and {names:count} names are taken in; {found_share:share} of the road was found on it. Maps are"
    " wrong at times: look before you trust, and ask whether a tap is one to drink from."
    " {attribution}.",
}

LABELS = {
    "caution.bridge": "bridge",
    "caution.hump": "humps",
    "caution.level_crossing": "level crossing",
    "caution.narrow_road": "narrow road",
    "caution.rough_road": "rough road",
    "caution.tram_crossing": "tram rails",
    "caution.tram_rails": "tram rails",
    "page.total.map": "Map data",
    "map.attribution": "Map data: {attribution}",
}
