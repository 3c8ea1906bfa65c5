"""German of what is told after a ride: review, log, learning, season."""

SENTENCES: dict[str, str] = {
    # what was mended in a recording
    "recording_lacks_power": "Keine Leistung aufgezeichnet: Wo sie gebraucht wird, ist sie der Fahrzeit angepasst.",
    "recording_lacks_heart": "Kein Puls aufgezeichnet.",
    "recording_damaged": "Die Datei ist beschädigt oder abgeschnitten: Verwendet wird, was lesbar war, {points}"
    " {points:Punkt|Punkte}.",
    "clock_leapt": "Die Uhr des Geräts sprang {count} Mal; gerechnet wird, als wäre sie weitergelaufen.",
    "receiver_leapt": "{count} {count:Ort|Orte}, zu {count:dem|denen} der Empfänger hin und zurück sprang,"
    " {count:bleibt|bleiben} weg.",
    "two_devices": "Was nur {source} aufzeichnete, stammt von dort.",
    "two_parts": "{source} setzt fort, wo die erste Datei endet; dazwischen wurde nichts aufgezeichnet.",
    # where the ride left the planned road
    "event_started_late": "Die Fahrt traf bei {at_m:place1} auf die geplante Straße.",
    "event_stopped_early": "Die Fahrt verließ die geplante Straße endgültig bei {at_m:place1}, {left_m:length} vor ihrem Ende.",
    "event_detour": "Zwischen {from_m:place1} und {to_m:road1} wurde eine andere Straße gefahren, {ridden_m:length}.",
    "event_shortcut": "Zwischen {from_m:place1} und {to_m:road1} wurde abgekürzt: {saved_m:length} gespart.",
    "event_turned_off": "Bei {at_m:place1} bog die Fahrt ab und kam zurück: {ridden_m:length}.",
    "event_not_recorded": "Zwischen {from_m:place1} und {to_m:road1} wurde nichts aufgezeichnet.",
    "rode_elsewhere": "Die Fahrt folgt nicht der Straße des Plans „{plan}“; sie wird für sich betrachtet.",
    "rode_other_way": "Die geplante Straße wurde in Gegenrichtung gefahren; Orte und Zeiten des Plans gelten nicht.",
    "on_time": "Ankunft pünktlich, auf die Minute.",
    "late_from": "Am Ende {amount_s:duration} später als geplant, durchgehend verspätet ab {from_m:place}.",
    "early_from": "Am Ende {amount_s:duration} früher als geplant, durchgehend verfrüht ab {from_m:place}.",
    # stores, sweat
    "no_places_recorded": "Keine Orte aufgezeichnet: Straße, Anstiege, Speicher und Schweiß bleiben offen.",
    "too_short_for_stores": "Die Fahrt ist zu kurz, um etwas über Speicher und Schweiß zu sagen.",
    "power_fitted": "Speicher und Schweiß sind mit der Leistung gerechnet, die zur Fahrzeit passt, nicht mit gemessener.",
    "weighing_cannot_be": "Die beiden Wägungen können nicht zu dieser Fahrt gehören; beide Gewichte und die"
    " Trinkmenge prüfen.",
    "drunk_as_planned": "Die Schweißrate nimmt als getrunken, was geplant war; sag, was in den Flaschen blieb.",
    # signs
    "cannot_tell_short": "Die Fahrt ist zu kurz; die Aufzeichnung sagt es nicht.",
    "cannot_tell_no_power": "Ohne gemessene Leistung sagt es die Aufzeichnung nicht.",
    "cannot_tell_no_heart": "Ohne Puls sagt es die Aufzeichnung nicht.",
    "cannot_tell_uneven": "Die Leistung war zu ungleich, oder in beiden Hälften zu verschieden; die Aufzeichnung sagt"
    " es nicht.",
    "cannot_tell_no_like_climbs": "Kein Anstieg der letzten Stunde gleicht einem der ersten, und Leistung wurde nicht"
    " gemessen: Die Aufzeichnung sagt es nicht.",
    "cannot_tell_no_rise": "In einer der beiden Stunden liegt kein Anstieg von einer Minute: Die Aufzeichnung sagt es"
    " nicht.",
    "sign_last_hour": "Die Leistung der letzten Stunde war {share:share} der ersten: {last_w:.0f} W nach"
    " {first_w:.0f} W.",
    "sign_like_climbs": "An gleichen Anstiegen ging es in der letzten Stunde mit {share:share} des Tempos der ersten"
    " bergauf.",
    "sign_drift": "Die Leistung je Herzschlag sank von der ersten zur zweiten Hälfte um {share:pct1} %, über"
    " {minutes} gleichmäßige Minuten; Hitze, Durst und Müdigkeit bewirken das alle.",
    "sign_rise": "Die beste Minute bergauf war in der letzten Stunde {share:share} der ersten: {last_w:.0f} W nach"
    " {first_w:.0f} W.",
    # what no device knows
    "ask_item_left": "Wie viele der {total} {total:Bissen|Bissen} {item} blieben übrig?",
    "ask_bottle_left": "Wie viel blieb in {bottle}?",
    "ask_what_was_eaten": "Was wurde gegessen und getrunken?",
    "ask_stomach": "Wie ging es dem Magen?",
    "ask_legs": "Wie waren die Beine in der letzten Stunde?",
    "ask_thirst": "Wie groß war der Durst am Ende?",
    "ask_mass_before": "Körpergewicht vor der Fahrt?",
    "ask_mass_after": "Körpergewicht danach?",
    # cautions
    "review_not_medical": "Dieser Rückblick ist Auskunft, kein ärztlicher Rat; seine Zahlen sind Schätzungen mit"
    " ihrem Fehler.",
    "review_weighing": "Eine Wägung zeigt, wie viel du auf der Fahrt schwitzt, und sonst nichts; sie ist kein Ziel."
    " Lass sie weg, wenn Wiegen dir nicht guttut.",
}

LABELS: dict[str, str] = {}
