"""German: what the map says of the road."""

SENTENCES = {
    "off_the_road": "{offset_m:tens} m neben der Straße, {climb_m:.0f} m höher, hin und zurück {detour_s:duration}",
    "with_detour": "{what} ({aside})",
    "map_dated": "Stand {date}, {years:.1f} Jahre alt",
    "map_new": "Stand {date}",
    "map_undated": "Stand unbekannt",
    "from_the_map": "Aus der Karte {source}, {age}: {used:count} von {places:count} Stellen mit Wasser oder Essen"
    " sind eingeplant; {spots:count} Ampeln, Schilder und Übergänge, {sections_m:length} Pflaster, Tunnel,"
    " Brücken oder enge Straße und {names:count} Namen sind berücksichtigt; {found_share:share} der Strecke"
    " liegen auf ihr. Karten irren sich: erst hinsehen, und fragen, ob man das Wasser trinken kann."
    " {attribution}.",
}

LABELS = {
    "map.attribution": "Kartendaten: {attribution}",
}
