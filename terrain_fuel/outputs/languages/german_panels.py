"""German: sentences that name files and their keys, as the kitchen table says them, by its panels and fields."""

PANELS = {
    "long_awake": "Auf dieser Fahrt ist man {hours:.0f} h am Stück wach: müde fährt man wie betrunken. Schlaf einplanen"
    " (Tag, mehr zum Tag: Jeder Schlaf), und wo die Augen zufallen, zwanzig Minuten hinlegen.",
    "feed_unknown": "Die Verpflegung bei {at_m:place} bietet {items:list}; das fehlt in der Küche: unter diesem Namen"
    " hineintun, wenn es gegessen werden darf; bis dahin wird es nicht geplant.",
    "heavy_load": "Essen und Trinken wiegen beim Start {total_kg:.1f} kg, das Tempo rechnet mit {assumed_kg:.1f} kg"
    " Gepäck: das Gepäck ändern (Mensch und Rad, mehr zum Rad) oder öfter nachfüllen.",
    "load_without": "{total_kg:.1f} kg ohne {items:list}: in der Küche sagen, was sie wiegen, um alles zu wiegen",
    "ftp_question": "Eine FTP von {ftp_w:.0f} W bei {body_mass_kg:.0f} kg sind {w_per_kg:.1f} W je Kilogramm: so viel"
    " hält kaum jemand eine Stunde lang. Stimmt das? Tempo, Schweiß, Essen und Trinken folgen daraus; sonst Leistung"
    " oder Gewicht unter Mensch und Rad berichtigen.",
    "sodium_question": "{item} hat {sodium_mg:.0f} mg Natrium im Stück: stimmt das? Etiketten nennen Gramm Salz; ein"
    " Gramm sind 393 mg Natrium. Sonst das Natrium in der Küche berichtigen.",
    "sodium_over": "{total_mg:.0f} mg Natrium in {hours:.0f} h ab {start_m:place}, meist aus {item}; höchstens"
    " {most_mg:.0f}. Ist das Etikett richtig gelesen? Ein Gramm Salz sind 393 mg Natrium: das Natrium in der Küche"
    " berichtigen",
    "single_sugars_over": "{total_g:.0f} g einfacher Zucker in einer Stunde ab {start_m:place}, meist aus {item};"
    " höchstens {most_g:.0f}: Essen mit beiden Arten mitnehmen, oder in der Küche sagen, was zwei Arten Zucker hat",
    "caffeine_over": "{total_mg:.0f} mg Koffein in einer Stunde ab {start_m:place}, höchstens eine Dosis von"
    " {dose_mg:.0f}: Koffein höchstens senken (Mensch und Rad, mehr zum Menschen)",
    "drink_in_doubt": "{drunk_ml:tens} ml sind bis zum Ziel getrunken; wer nur {low_ml:tens} ml schwitzt, trinkt damit"
    " {over_ml:tens} mehr als sicher ist: nach Durst trinken, und den gewogenen Schweiß eintragen (Mensch und Rad,"
    " mehr zum Menschen)",
    "loss_dangerous": "ab {start_m:place} fehlen mehr als 4 % der Körpermasse, schlimmstenfalls {share:pct1} %: das ist"
    " gefährlich; unter Tag eine Wasserstelle oder Verpflegung dazu, kürzer oder ruhiger fahren",
    "storm_gusts": "Böen von {gusts_km_h:.0f} km/h werfen ein Rad über die Straße; einen anderen Tag wählen",
    "storm_wind": "{wind_km_h:.0f} km/h Wind werfen ein Rad über die Straße; einen anderen Tag wählen",
    "heat_for_the_unused": "bei solcher Hitze{where} wird für Ungewohnte abgesagt; starten, wenn es kühler ist, oder"
    " nach zehn Tagen in der Hitze sagen, dass du sie gewohnt bist (Mensch und Rad, mehr zum Menschen)",
    "heat_for_all": "bei solcher Hitze{where} wird für alle abgesagt; starten, wenn es kühler ist, und unter Tag Start"
    " und Temperatur eintragen",
    "heat_for_the_young": "bei solcher Hitze{where} wird Sport unter 18 abgesagt; starten, wenn es kühler ist, und unter"
    " Tag Start und Temperatur eintragen",
    "cold_and_wet": "{coldest_c:.0f} °C auf nasser Straße: Eis im Schatten und auf Brücken, nasse Kleider im Fahrtwind;"
    " einen anderen Tag wählen",
    "strong_wind": "{wind_km_h:.0f} km/h Wind: die Böen nachsehen und unter Tag eintragen; wo sie {gusts_km_h:.0f} km/h"
    " erreichen, nicht fahren.",
    "wet_and_cold": "{hours:.1f} Stunden im Sattel auf nasser Straße bei {cold_c:.0f} °C oder kälter, wo {most_h:.0f} das"
    " Äußerste sind: durchnässt kühlt der Körper aus; die Strecke kürzen oder einen anderen Tag wählen",
    "frostbite": "im Gesicht fühlt es sich beim Fahren wie {chill_c:.0f} °C an: Erfrierungen; einen anderen Tag wählen",
    "night_without_light": "ab {start_m:place} ist es dunkel und das Rad hat kein Licht; welches anbauen und es sagen"
    " (Mensch und Rad: Licht), oder früher losfahren",
    "effort_too_long": "{effort:pct0} % der FTP über {hours:.1f} h, wo {allowed:pct0} % so lange reichen: den Einsatz"
    " unter Tag senken, oder die Leistung unter Mensch und Rad berichtigen",
    "longer_gap": "längste Pause {gap_min:.0f} min (Mensch und Rad)",
    "add_feed": "eine Wasserstelle, ein Laden oder eine Verpflegung bei km {at_km} (Tag)",
    "add_two_feeds": "eine Wasserstelle, ein Laden oder eine Verpflegung bei km {first_km} und bei km {second_km} (Tag)",
    "add_pocket": "noch eine Tasche für {items} Stück, etwa „{name}“ (Küche)",
    "raise_limit": "höchstens {limit_g_per_h:.0f} g/h Kohlenhydrate (Mensch und Rad), wenn der Darm daran gewöhnt ist",
    "raise_count": "{count} × {item} in der Küche",
    "eat_sooner": "der erste Bissen nach {first_min:.0f} min (Mensch und Rad, mehr Gewohnheiten)",
    "eat_oftener": "alle {every_min:.0f} min ein Bissen (Mensch und Rad)",
    "heights_zero_throughout": "Jede Höhe dieser Strecke ist 0, also ist kein Anstieg zu sehen: Liegt die Straße eben am"
    " Meer? Wenn nicht, die Strecke mit Höhen exportieren und auf der ersten Seite noch einmal herlegen.",
    "heights_leap": "Bei {at_m:place1} liegen die Höhen auf {over_m:height} um {rise_m:height} auseinander: So steil ist"
    " keine Straße, und was davon gerechnet wird, stimmt nicht; die Strecke mit anderen Höhen exportieren und neu"
    " herlegen.",
    "heights_above_all_roads": "Bei {at_m:place1} liegt die Straße {height_m:height} hoch, höher als jede Straße: die"
    " Strecke mit anderen Höhen exportieren und neu herlegen.",
    "map_buys_unknown": "Läden der Karte verkaufen {items:list} (Tag), was nicht in der Küche ist: unter diesem Namen"
    " hineintun, damit es geplant werden kann.",
}
