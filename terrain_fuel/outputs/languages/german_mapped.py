"""German: what the map says of the road."""

SENTENCES = {
    "off_the_road": "{offset_m:tens} m neben der Straße, {climb_m:.0f} m höher, hin und zurück {detour_s:duration}",
    "with_detour": "{what} ({aside})",
    "map_dated": "Stand {date}, {years:.1f} Jahre alt",
    "map_new": "Stand {date}",
    "map_undated": "Stand unbekannt",
    "rough_road": "{what} auf {length_m:length}: beide Hände an den Lenker.",
    "uneven_road": "{what} auf {length_m:length}: Lenker locker halten, vorher oder nachher essen.",
    "surface_cobbles": "Kopfsteinpflaster",
    "surface_gravel": "Loser Schotter",
    "surface_firm_gravel": "Fester Schotter",
    "surface_ground": "Unbefestigter Weg",
    "surface_broken": "Kaputter Belag",
    "tunnel_dark": "Tunnel ohne Lampen",
    "tunnel_lit": "Tunnel, beleuchtet",
    "tram_rails": "Straßenbahnschienen in der Straße auf {length_m:length}: Abstand halten, beide Hände an den Lenker.",
    "tram_crossing": "Straßenbahnschienen: rechtwinklig queren, beide Hände an den Lenker.",
    "level_crossing": "Bahnübergang: schauen, rechtwinklig queren, beide Hände an den Lenker.",
    "humps": "{count} {count:Bremsschwelle|Bremsschwellen}.",
    "narrow_road": "Schmale Straße auf {length_m:length}: in Kurven ohne Sicht rechts bleiben.",
    "bridge": "Brücke von {length_m:length}: Böen sind möglich, und sie vereist zuerst.",
    "map_buys_unknown": "map_buys nennt {items:list}, was nicht in der Küche steht: ein [[item]] mit diesem Namen"
    " anlegen, damit es geplant werden kann.",
    "map_places": "{places:count} {places:Stelle|Stellen} mit Wasser oder Essen",
    "map_places_used": "{used:count} von {places:count} Stellen mit Wasser oder Essen sind eingeplant",
    "from_the_map": "Aus der Karte {source}, {age}: {offered}; {spots:count} Ampeln, Schilder und Übergänge, {sections_m:length} rauer Belag, Tunnel,"
    " Brücken oder enge Straße und {names:count} Namen sind berücksichtigt; {found_share:share} der Strecke"
    " liegen auf ihr. Karten irren sich: erst hinsehen, und fragen, ob man das Wasser trinken kann."
    " {attribution}.",
}

LABELS = {
    "caution.bridge": "Brücke",
    "caution.hump": "Schwellen",
    "caution.level_crossing": "Bahnübergang",
    "caution.narrow_road": "schmale Straße",
    "caution.rough_road": "rauer Belag",
    "caution.tram_crossing": "Schienen",
    "caution.tram_rails": "Schienen",
    "page.total.map": "Kartendaten",
    "map.attribution": "Kartendaten: {attribution}",
}
