"""German sentences of the facts, by their codes."""

SENTENCES: dict[str, str] = {
    # the need: carbohydrate, fluid, weather, caffeine
    "short_ride": "Eine so kurze Fahrt braucht nichts zu essen; satt losfahren und einen Bissen einstecken.",
    "above_90": "{rate_g_per_h:.0f} g Kohlenhydrate pro Stunde verträgt nur ein Darm, der über Wochen daran"
    " gewöhnt ist; vorher üben und beim ersten Unwohlsein weniger nehmen.",
    "mixed_sugars": "{rate_g_per_h:.0f} g Kohlenhydrate pro Stunde brauchen gemischte Zucker: etwa"
    " {glucose_g:.0f} g Glukosearten und {fructose_g:.0f} g Fruktose; im Training üben.",
    "sweat_estimated": "Die Schweißrate ist geschätzt, wahrscheinlich {low_ml_per_h:fifties} bis"
    " {high_ml_per_h:fifties} ml pro Stunde; vor und nach einer Fahrt wiegen, um sie zu kennen.",
    "sweat_at_most": "Die Schätzung des Schweißes steht {hours:.1f} Stunden lang an ihrem Ende,"
    " {most_ml_per_h:.0f} ml pro Stunde: es kann mehr verloren gehen, als dieser Plan rechnet. Ruhiger und kürzer"
    " fahren, vorher und nachher wiegen.",
    "fluid_loss": "Ab etwa {from_m:place} sind mehr als 2 % der Körpermasse verloren, am Ende {share:pct1} %:"
    " ruhiger fahren, die Fahrt kürzen oder zum Trinken anhalten; nicht alles auf einmal trinken.",
    "heat_caution": "Gefühlt {feels_c:.0f} °C im Schatten: anstrengend; nach Durst trinken, bergauf ruhiger"
    " fahren.",
    "heat_extreme_caution": "Gefühlt {feels_c:.0f} °C im Schatten, mehr in der Sonne: Krämpfe und"
    " Hitzeerschöpfung sind möglich; früher starten, ruhiger fahren, Schatten suchen.",
    "heat_danger": "Gefühlt {feels_c:.0f} °C im Schatten, mehr in der Sonne: Hitzschlag ist möglich; die"
    " Fahrt"
    " kürzen oder verschieben.",
    "heat_extreme_danger": "Gefühlt {feels_c:.0f} °C im Schatten, mehr in der Sonne: Hitzschlag ist"
    " wahrscheinlich; nicht fahren.",
    "heat_beyond_scale": "{temperature_c:.0f} °C in so feuchter Luft liegen jenseits dessen, wofür die Skala"
    " gemacht ist: Hitzschlag ist wahrscheinlich; nicht fahren.",
    "heat_lower_down": "Was hier von Hitze steht, gilt am tiefsten Ort, {at_m:place}: dort etwa"
    " {temperature_c:.0f} °C, {warmer_c:.0f} mehr als am Start.",
    "wet_bulb_discretion": "Die Feuchtkugel-Hitze ist hoch: vorsichtig sein, vor allem ohne Gewöhnung an"
    " Hitze.",
    "wet_bulb_limit": "Die Feuchtkugel-Hitze liegt dort, wo harte Belastung begrenzt werden soll; ruhig und"
    " kurz fahren.",
    "wet_bulb_cancel": "Die Feuchtkugel-Hitze liegt dort, wo Veranstaltungen abgesagt werden; heute nicht"
    " hart"
    " fahren.",
    "freezing": "Unter null Grad: auf Eis im Schatten und auf Brücken achten. Flaschen und Tuben frieren ein;"
    " Getränke warm einfüllen und unter dem Trikot tragen.",
    "cold": "Bei dieser Kälte werden Kaustücke und Riegel hart; nah am Körper tragen.",
    "soaked": "{coldest_c:.0f} °C auf nasser Straße: durchnässt kühlt man aus. Regenkleidung, trockene Handschuhe und eine"
    " trockene Schicht mitnehmen, weiter essen, nirgends herumstehen, und nach drinnen, sobald man zittert oder die Finger"
    " die Bremse nicht mehr schließen.",
    "strong_wind": "{wind_km_h:.0f} km/h Wind: die Böen nachsehen (gusts_m_s in der Tages-Datei); wo sie {gusts_km_h:.0f}"
    " km/h erreichen, nicht fahren.",
    "thin_air": "Die Straße steigt auf {height_m:height} ({at_m:place}): über {from_m:height} fällt die Leistung, und wer tief"
    " wohnt, kann höhenkrank werden. Bei Kopfweh, Übelkeit oder Torkeln sofort hinunter, und oben nicht schlafen.",
    "older": "Mit {age_y:.0f} sagt der Durst weniger, und Hitze, Kälte und viel Wasser auf einmal werden schlechter"
    " vertragen: wenig und oft trinken, früher nachlassen, und vor einem harten Tag mit dem Arzt reden.",
    "nothing_wanted": "Auf einer Fahrt von {hours:.1f} Stunden sind keine Kohlenhydrate gewollt: die Speicher werden knapp, und"
    " plötzlich ist man leer. Trotzdem etwas Süßes einstecken und beim ersten Anzeichen essen.",
    "caffeine_sleep": "Das letzte Koffein dieses Plans kommt um {last:clock}: ein langsamer Körper hat um"
    " {bed:clock} noch {left_mg:tens} mg davon, und das kann den Schlaf kosten.",
    "thirst_decides": "Mehr als {hours:.0f} Stunden mit wenig Schweiß: hier schadet zu viel Trinken mehr als zu wenig."
    " Nach Durst trinken und nicht mehr, was auch immer dieser Plan sagt; es darf in der Flasche bleiben.",
    "long_for_the_young": "{hours:.1f} Stunden im Sattel sind mit {age_y:.0f} lang: vorher festlegen, wo gehalten, geruht"
    " und abgeholt werden kann, und im Zweifel kürzen.",
    "for_parent": "Für Eltern oder Trainer: unter 18 nimmt dieser Plan höchstens {limit_g_per_h:.0f} g"
    " Kohlenhydrate in der Stunde, kein Koffein, und bricht bei Hitze früher ab als für Erwachsene. Mitfahren,"
    " essen, trinken und halten lassen nach Wunsch, und umkehren, wenn es keinen Spaß mehr macht.",
    "glycogen_low": "Ab etwa {from_m:place} sind die Speicher voraussichtlich fast leer; früher essen"
    " oder bis"
    " dahin ruhiger fahren.",
    "glycogen_may_be_low": "Ab etwa {from_m:place} können die Speicher knapp werden, falls der Verbrauch über"
    " dem üblichen liegt; pünktlich essen.",
    "drink_strong": "{item} enthält {carbohydrate_share:pct1} % Kohlenhydrate; über 8 % verlässt ein Getränk"
    " den Magen langsamer, also Wasser dazu trinken.",
    "drink_salty": "{item} enthält {sodium_mg_per_l:fifties} mg Natrium im Liter; bis {usual_mg_per_l:fifties} sind"
    " für ein Sportgetränk üblich.",
    # standing cautions
    "not_medical": "Dieser Plan ist Information, kein ärztlicher Rat; seine Zahlen sind Spannen. Erst im"
    " Training ausprobieren.",
    "illness": "Bei Diabetes, Nieren-, Herz- oder Blutdruckleiden und in der Schwangerschaft erst ärztlichen"
    " Rat holen; Insulin und lange Fahrten brauchen einen eigenen Plan.",
    "allergy": "Jedes Lebensmittel auf Allergien, Zöliakie und Fruktoseunverträglichkeit prüfen.",
    "eating": "Die Mengen sollen gutes Fahren ermöglichen; sie sind kein Ziel, das es zu unterbieten gilt.",
    "thirst": "Nach Durst trinken, nie so viel, dass man danach mehr wiegt als davor. Kopfschmerz, Übelkeit, Verwirrung,"
    " Schwellungen: nicht weitertrinken, Hilfe holen.",
    "choking": "Nichts Hartes bei schwerem Atem: vor der Anstrengung kauen und schlucken.",
    "hands": "Beide Hände an den Lenker auf Abfahrten, in Kurven, Verkehr, Gruppen und Tunneln, auf"
    " nasser oder"
    " rauer Straße. Der Plan sieht keinen Verkehr und den Belag nur nach der Karte: im Zweifel anhalten.",
    "law": "Örtliches Recht geht vor: Handzeichen, Telefon, Halteverbote.",
    "litter": "Abfall und Flaschen behalten; verlorene Flaschen bringen andere zu Fall.",
    "caffeine": "Koffein: höchstens 200 mg auf einmal und 400 mg am Tag für gesunde Erwachsene, weniger"
    " in der"
    " Schwangerschaft und unter 18; bei Medikamenten oder Herzleiden ärztlichen Rat holen.",
    "heat": "Verwirrung, Frösteln in der Hitze oder ein taumelnder Gang sind Zeichen eines Hitzschlags:"
    " anhalten, sofort kühlen und Hilfe rufen.",
    "cold_hands": "Kalte Hände öffnen nichts: vorher auspacken und schneiden, und essen, bevor die Kälte"
    " kommt.",
    "bonk": "Wenn nichts mehr geht: Tempo raus, etwas Schnelles essen, trinken, weiteressen; die Fahrt"
    " beenden, wenn es nicht besser wird.",
    "salt": "Mehr Salz, als der Plan bringt, braucht es selten, und keines macht zu viel Trinken"
    " ungefährlich.",
    # two weighings
    "sweat_gained": "Die Schweißrate war etwa {rate_ml_per_h:.0f} ml pro Stunde (plus oder minus"
    " {error_ml_per_h:.0f} mit einer Waage auf 100 g), und das Gewicht stieg um {gained_kg:.1f} kg: mehr"
    " getrunken als verloren, das kann gefährlich sein; weniger trinken, nach Durst, und nie so viel, dass das"
    " Gewicht steigt.",
    "sweat_much_lost": "Die Schweißrate war etwa {rate_ml_per_h:.0f} ml pro Stunde (plus oder minus"
    " {error_ml_per_h:.0f} mit einer Waage auf 100 g), der Verlust {lost_share:pct1} % der Körpermasse, mehr"
    " als 2 %: auf einer solchen Fahrt etwas mehr trinken.",
    "sweat_little_lost": "Die Schweißrate war etwa {rate_ml_per_h:.0f} ml pro Stunde (plus oder minus"
    " {error_ml_per_h:.0f} mit einer Waage auf 100 g), der Verlust {lost_share:pct1} % der Körpermasse, also"
    " innerhalb von 2 %.",
    # a calibration
    "calibrated_by_ride": "Das Tempo in Bewegung war {speed_m_s:speed}; das braucht etwa {flat_w:.0f} W in der"
    " Ebene und {climb_w:.0f} W bergauf bei einer Widerstandsfläche von {drag_m2:.2f} m² und Wind von"
    " {wind_m_s:.1f} m/s aus {wind_from_deg:.0f} Grad; Halte dauerten {halted_s:duration}. {fitted} nur an die"
    " erste Hälfte angepasst, wird die zweite Hälfte um {off_share:pct1} % {way} als die aufgezeichneten"
    " {held_out_s:duration}; ein halber Kilometer liegt um {block_share:pct0} % daneben. {of_ftp}",
    "fitted_drag": "Luftwiderstand und Wind, bei gemessener Leistung,",
    "fitted_power_and_drag": "Leistung, Luftwiderstand und Wind",
    "slower": "langsamer",
    "faster": "schneller",
    "no_ftp": "Um damit zu planen, die FTP mit --ftp-w (oder in rider.toml) nennen: FTP und die Belastung, die"
    " zu ihr gehört, taugen nur zusammen etwas.",
    "ftp_shown": "Das Beste waren {twenty_min_w:.0f} W über 20 min{hour}: die FTP liegt bei mindestens"
    " {ftp_w:.0f} W, höher, wenn mehr gegangen wäre. {shares}",
    "and_hour": " und {hour_w:.0f} W über eine Stunde",
    "efforts_of_shown": "Die Belastungen unten sind Anteile davon.",
    "efforts_of_told": "Die Belastungen unten sind Anteile der FTP von {ftp_w:.0f} W.",
    "efforts_of_low": "Die genannte FTP ist niedriger: die Belastungen unten sind Anteile ihrer {ftp_w:.0f} W.",
    "calibrated_by_sentence": "{length_m:length0} mit {ascent_m:height} Anstieg in {moving_s:duration} brauchen"
    " etwa {flat_w:.0f} W in der Ebene und {climb_w:.0f} W bergauf. Ein Satz kann Luftwiderstand, Hügel und"
    " Wind nicht trennen: alles von {low_w:.0f} bis {high_w:.0f} W in der Ebene passt dazu; eine Aufzeichnung"
    " grenzt das ein. {of_ftp}",
    # many rides under bad luck
    "no_ride": "keine Fahrt",
    "few_rides": "weniger als 1 von 100 Fahrten",
    "rides_in_100": "etwa {hundredths:.0f} von 100 Fahrten",
    "chance_ran_dry": "{how_many}: Durst, aber die Flaschen leer",
    "chance_lost_too_much": "{how_many}: mehr als 2 % der Körpermasse ausgeschwitzt",
    "chance_overdrunk": "{how_many}: einen halben Liter mehr getrunken als ausgeschwitzt",
    "chance_stores_low": "{how_many}: die Kohlenhydratspeicher fast leer",
    "chance_gut_over": "{how_many}: in einer Stunde über ein Zehntel mehr, als der Darm gewohnt ist",
    "advice": "{change}: statt {before_share:pct0} % gehen {after_share:pct0} % der Fahrten gut aus",
    "larger_mouthfuls": "jeder Schluck ein Viertel größer",
    "more_bottle": "eine Flasche mit {bottle_ml:.0f} ml mehr",
    "more_bottle_larger_mouthfuls": "eine Flasche mit {bottle_ml:.0f} ml mehr, jeder Schluck ein Viertel"
    " größer",
    "more_food": "einmal mehr {item} bei etwa {place_m:place}",
    # refills and bottles
    "nothing": "",
    "sleep_here": "Schlafen: {place}, {at_m:place}, von {lies_down:clock} bis {gets_up:clock}. {last}vor dem Hinlegen essen und"
    " trinken, Trockenes und Warmes anziehen, zwei Wecker stellen; {first}langsam anfahren, bis man wach ist.",
    "sleep_somewhere": "am Straßenrand",
    "sleep_last_food": "Zuletzt wird unterwegs bei {at_m:place} gegessen; ",
    "sleep_first_food": "danach kommt das nächste Essen bei {at_m:place}; ",
    "long_awake": "Auf dieser Fahrt ist man {hours:.0f} h am Stück wach: müde fährt man wie betrunken. Schlaf einplanen (sleep_h"
    " in der Tagesdatei), und wo die Augen zufallen, zwanzig Minuten hinlegen.",
    "small_hours": "Die Fahrt geht durch die Stunden vor dem Morgen, in denen jeder am müdesten ist: vor dem Start schlafen,"
    " und wo die Augen zufallen, zwanzig Minuten hinlegen; mit Willen allein fährt niemand gut.",
    "unnamed_refill": "Nachfüllen",
    "spare_bottle": "Reserveflasche",
    "the_feed": "die Verpflegung",
    "the_finish": "dem Ziel",
    "that_place": "{at_m:place}",
    "feed_beyond": "Die Verpflegung bei {at_m:place} liegt hinter dem Ziel und bleibt aus dem Plan.",
    "feed_unknown": "Die Verpflegung bei {at_m:place} bietet {items:list}; das fehlt im Vorrat: ein"
    " [[item]] dieses Namens eintragen, wenn es gegessen werden darf; bis dahin wird es nicht geplant.",
    "unsure_refill": "{place} bei {at_m:place} ist vielleicht geschlossen: {advice}",
    "refill_matters": "Der Plan hängt an {place} bei {at_m:place}; falls dort geschlossen ist: {advice}",
    "shut_does_not_matter": "die Flaschen sind so gefüllt, dass es nichts ausmacht.",
    "shut_next_water": "die Flaschen reichen bis zum nächsten Wasser bei {at_m:place}.",
    "shut_leaves_short": "{missing_ml} ml fehlen dann vor {upto}: eine Reserveflasche mitnehmen oder früh an"
    " einem Haus fragen.",
    "shut_sip_less": "{missing_ml} ml fehlen dann vor {upto}: ab {since_m:place} um {less_share:pct0} %"
    " weniger trinken oder eine Reserveflasche mitnehmen.",
    "thirsty": "{shortage}. Der Verlust bleibt unter 2 % der Körpermasse.",
    "short_no_bottle": "{short_ml:tens} ml fehlen zwischen {start_m:place} und {end_m:place}: keine Flasche"
    " ist in Reichweite; eine in den Vorrat eintragen",
    "short_refill_near": "{short_ml:tens} ml fehlen zwischen {start_m:place} und {end_m:place}: {more},"
    " oder um {near_m:place} nachfüllen",
    "short_refill_between": "{short_ml:tens} ml fehlen zwischen {start_m:place} und {end_m:place}: {more},"
    " oder zwischen {first_m:place} und {last_m:place} nachfüllen",
    "short_refills": "{short_ml:tens} ml fehlen zwischen {start_m:place} und {end_m:place}: unterwegs"
    " {halts}-mal nachfüllen, zuerst vor {before_m:place}, oder {more}",
    "one_more_bottle": "eine Flasche mehr",
    "more_bottles": "{count} Flaschen mehr",
    "water_with_bites": "Wasser, um die Bissen hinunterzuspülen",
    "energy_and_salt": "Energie und Salz, so stark wie auf der Packung",
    "energy_thinner": "Energie und Salz, dünner als auf der Packung",
    "handed_out": "was es hier gibt: {place}",
    "left_over": "{why}; etwas bleibt übrig für einen längeren Tag",
    "fuller_in_case": "{why}; voller, als diese Strecke braucht, denn vielleicht geschlossen: {place}",
    "only_in_case": "nur für den Fall, dass hier geschlossen ist: {place}",
    "more_than_in_reach": "{wanted_ml:tens} ml braucht es vor {upto}, und die Flaschen in Reichweite fassen"
    " {held_ml:tens}",
    "pour_over_soon": "die Reserveflasche wird umgefüllt, sobald Platz ist",
    "poured_over": "umgefüllt aus: {container}",
    "halt_to_pour_over": "eine Minute anhalten: {why}",
    "fill_here": "{place}: {fluid_ml:tens} ml {item} nachfüllen, {container}",
    "out_of_the_bag": "Bissen von dort ({containers:list}) kommen am Halt davor in eine Trikottasche"
    " ({halts:list}): was die Zeilen bis zum nächsten Halt nennen.",
    "take_out": "{what}; in eine Trikottasche umpacken ({containers:list}): {items:list}",
    "tip_out_first": "{what}; die letzten {tipped_ml:tens} ml vorher ausgießen",
    "fill_here_if_open": "{place}: {fluid_ml:tens} ml {item} nachfüllen, {container}; vielleicht geschlossen",
    "take_here": "{place}: volle Flasche nehmen, alte zurückgeben, {container}",
    "take_here_if_there": "{place}: volle Flasche nehmen, alte zurückgeben, {container}; falls jemand da ist",
    # pockets, the reserve, weight
    "full_pockets": "{over} Stück mehr als die {held}, die in Reichweite passen; eine"
    " Trikottasche oder Tasche mehr, dichteres Essen, oder einen Teil unterwegs anreichen lassen",
    "bag_needed": "die Trikottaschen sind voll: der Rest kommt hierhin: {container}",
    "no_reserve": "Für die gewünschten {wanted_min:.0f} min bleibt nichts als Reserve: mehr Essen oder eine größere"
    " Tasche in den Vorrat eintragen.",
    "reserve_short": "Die Reserve enthält {kept_g:.0f} g Kohlenhydrate, genug für {good_for_min:.0f} der"
    " gewünschten {wanted_min:.0f} min: mehr Essen oder eine größere Tasche in den Vorrat eintragen.",
    "heavy_load": "Essen und Trinken wiegen beim Start {total_kg:.1f} kg, das Tempo rechnet mit"
    " {assumed_kg:.1f} kg Gepäck: carried_mass_kg setzen oder öfter nachfüllen.",
    # what is done beforehand
    "buy_on_the_way": "unterwegs mitnehmen, {place} bei {at_m:place}: {count} × {item}",
    "renew_reserve": "{place} bei {at_m:place}: was von der Reserve bis dahin gegessen ist, neu kaufen, bis zu {count} × {item}",
    "renew_reserve_of_helper": "{place} bei {at_m:place}: was von der Reserve bis dahin gegessen ist, gibt es dort neu, bis zu {count} × {item}",
    "lay_out": "{taken} von {stock} aus dem Vorrat bereitlegen",
    "lay_out_last": "{taken} von {stock} aus dem Vorrat bereitlegen; {last}",
    "last_in_stock": "danach ist nichts mehr da: für die nächste Fahrt nachkaufen",
    "cut_into_bites": "jedes Stück in {each} Bissen schneiden",
    "wrap_bite": "den Bissen in Folie wickeln, ein Ende zum Ziehen stehen lassen",
    "wrap_bites": "{bites} Bissen einzeln in Folie wickeln, ein Ende zum Ziehen stehen lassen",
    "open_now": "jetzt öffnen und locker einwickeln: unterwegs braucht es zwei Hände",
    "weigh_into_bag": "{powder_g:.0f} g in ein Tütchen abwiegen, für {fluid_ml:tens} ml ({container})"
    " unterwegs: {place}",
    "mixed_by_helper": "{item} geht mit der Begleitung, {place}: wie viel, steht auf ihrem Blatt ({container})",
    "freeze_half": "{half_ml:fifties} ml einfrieren, liegend und offen, am Morgen auffüllen: {container}",
    "fill_bottle": "{container}: {what}{warm}; {why}",
    "drink_in_bottle": "{fluid_ml:tens} ml {item}",
    "powder_in_water": "{powder_g:.0f} g {item} in {fluid_ml:tens} ml Wasser",
    "warm": ", warm",
    "pack": "{rows:list}",
    "packed_powder": "{count} × {item} als Pulver",
    "packed_bites": "{count} {count:Bissen|Bissen} {item}",
    "packed_whole": "{count:count} × {item}",
    "check_breakfast": "ein gewohntes Frühstück, zwei bis drei Stunden vor dem Start",
    "check_meal": "eine gewohnte Mahlzeit, zwei bis drei Stunden vor dem Start",
    "check_bicycle": "Reifen, Bremsen, Licht, Flaschen dicht und fest im Halter",
    "check_weather": "noch einmal die Vorhersage ansehen: der Plan rechnet mit {temperature_c:.0f} °C",
    "check_sun": "Sonnencreme, und etwas zum Mitnehmen",
    "check_rain": "Regenjacke, Überschuhe und ein trockenes Paar Handschuhe in einer Tüte",
    "wrap_for_gloves": "kalte Finger: jede Verpackung mit langem Ende lassen, etwas einreißen und einmal mit"
    " Handschuhen öffnen",
    "carry_warm": "{items:list}: nah am Körper, in einer äußeren Tasche werden sie hart",
    "check_halts": "{count} {count:Halt|Halte}, zusammen {standing_min:count} min Standzeit: {places:list}",
    "load": "{total_kg:.1f} kg zusammen: {drink_kg:.1f} kg Getränke, {food_kg:.1f} kg Essen",
    "load_drink": "{drink_kg:.1f} kg Getränke",
    "load_without": "{total_kg:.1f} kg ohne {items:list}: deren mass_g im Vorrat angeben, um alles zu wiegen",
    # a rehearsal
    "rehearse_not_at_hand": "{item}: nicht im Vorrat; besorgen, was das Rennen ausgibt, und vorher probieren",
    "rehearse_too_short": "{item}: auf einer Fahrt von zwei Stunden oder mehr probieren; eine kurze sagt"
    " dem Magen nichts",
    "rehearse_lower_rate": "{item}: hier {training_g:.0f} g in einer Stunde, im Rennen {race_g:.0f} g; in"
    " einer Stunde dieser Fahrt mehr davon nehmen",
    "rehearse_full_rate": "{item}: {training_g:.0f} g in einer Stunde, so viel wie im Rennen",
    # Missgeschicke
    "mishap_tap_shut": "{place} bei {at_m:place} gibt nichts her: {then}{beforehand}.{too_little}",
    "so_much_is_left": "etwa {left_ml:tens} ml sind übrig",
    "nothing_is_left": "die Flaschen sind dann leer",
    "shut_ride_on": "{left}, weiter bis {next} bei {next_m:place}, noch {gap_m:length}{ask}",
    "shut_ask": "; nötig sind bis dahin {wanted_ml:tens} ml, also an einem Haus fragen",
    "shut_to_finish": "{left} und kein Wasser kommt mehr; an einem Haus fragen",
    "if_known_fill": "; wer es vorher hört, füllt auf: {places:list}",
    "named_place": "{name} ({at_m:place})",
    "mishap_too_little": " Ab etwa {from_m:place} reicht es nicht: ruhiger fahren oder ein Getränk kaufen.",
    "mishap_bottle_lost": "Verloren: {bottle}. Die übrigen bei jedem Halt randvoll füllen; {then}.{too_little}",
    "lost_halt_also": "soweit noch voraus, auch hier halten: {places:list}",
    "lost_halts_stay": "die Halte bleiben, wie sie sind",
    "mishap_only_bottle_lost": "Verloren: {bottle}, und es gibt keine andere. Vor dem Weiterfahren etwas zu trinken"
    " kaufen.",
    "mishap_late": "{minutes:.0f} min aufgehalten, etwa bei {half_m:place}: {eat}weiter nach der Strecke, nicht nach"
    " der Uhr, und nichts aufholen; {bites}. Im Ziel gegen {home:clock}{lights}.",
    "late_eat_standing": "im Stehen essen ({item}); ",
    "late_bites_more": "{count} Bissen mehr aus der Reserve",
    "late_bites_less": "{count} Bissen weglassen",
    "late_bites_same": "kein Bissen mehr, keiner weniger",
    "late_lights": ", im Dunkeln: Licht an",
    "mishap_stomach": "Der Magen streikt: bei {next_m:place} nichts essen ({item}) und Wasser trinken; {calm}. Bleibt"
    " es so, nichts essen und ruhig heimfahren; bleibt auch Trinken nicht unten, Hilfe holen.",
    "stomach_calm": "wenn er ruhig ist, etwa {rate_g_per_h:.0f} g pro Stunde, {small}{dropped}",
    "stomach_water": "bei Wasser bleiben; wenn er ruhig ist, eine Ecke vom Weichsten versuchen, das du dabeihast",
    "stomach_small": "als Getränk und: {items:list}",
    "stomach_drink_only": "nur als Getränk",
    "stomach_leave_out": "; weglassen: {items:list}",
    "mishap_rain": "Regen vor einer Abfahrt: {moves:semicolons}{others}. Früh bremsen{slower}.",
    "rain_move": "{item} von {from_m:place1} auf {to_m:place1}",
    "rain_leave_out": "{item} bei {from_m:place1} weglassen",
    "rain_and_more": " und {count} mehr",
    "mishap_rain_nothing_moves": "Regen vor einer Abfahrt: jeder Bissen bleibt, wo er ist. Früh bremsen{slower}.",
    "rain_slower": ", etwa {later_s:duration} später",
    # the road
    "marked_place": "Markierte Stelle",
    "ride_on": "{name}: weiterfahren, beide Hände an den Lenker.",
    "take_care": "{name}: Vorsicht, beide Hände an den Lenker.",
    "tunnel": "Tunnel",
    "like_a_tunnel": "Die Höhen sehen nach einem Tunnel aus",
    "lights_on": "{what}: Licht an, beide Hände an den Lenker.",
    "unknown_bends": "Die Punkte der Route liegen hier zu weit auseinander, um Kurven zu zeigen: erst"
    " schauen, dann eine Hand vom Lenker nehmen.",
    "cold_top": "Oben etwa {top_c:.0f} °C, {colder_c:.0f} °C kälter als am Start{feels}: nur kurz halten und vor"
    " der Abfahrt etwas anziehen.",
    "feels_on_descent": ", im Gesicht wie {chill_c:.0f} °C bergab",
    "hairpins": "{count} {count:Kehre|Kehren} auf {length_m:length} mit {grade:pct0} %{wet}: beide Hände an"
    " den Lenker.",
    "tight_bends": "{count} Kurven auf {length_m:length} mit {grade:pct0} %, jede enger, als das Tempo dort"
    " erlaubt{wet}: beide Hände an den Lenker.",
    "on_wet_road": ", auf nasser Straße",
    "exposed": "Hoch und offen: Böen möglich.",
    "exposed_to_wind": "Hoch und offen, kein Schutz vor Wind aus {wind}: Böen möglich.",
    "north": "Norden",
    "north_east": "Nordosten",
    "east": "Osten",
    "south_east": "Südosten",
    "south": "Süden",
    "south_west": "Südwesten",
    "west": "Westen",
    "north_west": "Nordwesten",
    "dark_between": "Sonnenuntergang um {sets:clock}, Sonnenaufgang um {rises:clock}: Licht an, und das"
    " Essen ertasten.",
    "dark_at_the_end": "Sonnenuntergang um {sets:clock}, vor dem Ziel: ab hier Licht an.",
    "dark_at_the_start": "Sonnenaufgang um {rises:clock}, nach dem Start: bis dahin Licht an.",
    "dark_throughout": "Die ganze Fahrt liegt im Dunkeln: Licht an.",
    # why here
    "pin": "eigener Wunsch",
    "place_and_item": "{place}; {item}",
    "moved": "{where}: {rule}",
    "right_here": "genau hier",
    "right_at_crest": "genau an der Kuppe",
    "right_at_stop": "genau am Halt ({stop})",
    "moved_on": "{moved_m:length} weiter vorn",
    "moved_on_to_crest": "{moved_m:length} weiter vorn, an der Kuppe",
    "moved_on_to_stop": "{moved_m:length} weiter vorn, am Halt ({stop})",
    "far_on": "weit nach vorn gerückt",
    "far_on_to_crest": "weit nach vorn gerückt, an die Kuppe",
    "far_on_to_stop": "weit nach vorn gerückt, an den Halt ({stop})",
    "far_back": "weit zurück gerückt",
    "far_back_to_crest": "weit zurück gerückt, an die Kuppe",
    "far_back_to_stop": "weit zurück gerückt, an den Halt ({stop})",
    "moved_back": "{moved_m:length} früher",
    "moved_back_to_crest": "{moved_m:length} früher, an der Kuppe",
    "moved_back_to_stop": "{moved_m:length} früher, am Halt ({stop})",
    "own_rule": "{says}",
    "rule_first_food": "das erste Essen: früh, bevor es fehlt",
    "rule_apart": "keine zwei Bissen kurz hintereinander",
    "rule_bites_go_on": "immer wieder etwas zu beißen",
    "rule_bites_to_the_end": "etwas zu beißen bis zum Schluss",
    "rule_last_food": "vor dem Ende nicht lange ohne Essen",
    "rule_rhythm": "hält den Rhythmus",
    "rule_crest": "bergab leichter zu verdauen",
    "rule_crest_passed": "keine Kuppe ohne Essen",
    "rule_gentle_descent": "eben oder leicht bergab",
    "rule_easy_breathing": "der Atem ist hier ruhig",
    "rule_same_place": "jede Runde derselbe Ort",
    "rule_small_bites": "ein kleiner Bissen",
    "rule_long_climb_soft": "klein und weich am langen Anstieg",
    "rule_top_up": "vor dem Anstieg aufgefüllt",
    "rule_slow_early": "Langsames und Festes zuerst",
    "rule_quick_late": "schneller Zucker bleibt für später",
    "rule_final_hour": "schnelle Süße in der letzten Stunde",
    "rule_caffeine_late": "Koffein erst jetzt",
    "rule_caffeine_wanted": "Koffein hilft von hier an",
    "rule_variety": "etwas anderes als beim letzten Mal",
    "rule_solids_throughout": "etwas Festes zwischendurch",
    "rule_one_handed": "mit einer Hand zu öffnen",
    "rule_reach": "in Reichweite",
    "rule_hands_on": "dort gehören beide Hände an den Lenker",
    "rule_approach": "dort beginnt ein Stück für beide Hände",
    "rule_last_ten_minutes": "so kurz vor dem Ende nichts mehr",
    "rule_free_hands": "die Hände sind hier frei",
    "rule_sip_with_bite": "ein Schluck zum Bissen",
    "rule_sip_on_climbs": "bergauf weitertrinken",
    "rule_sip_hands": "eine Hand ist frei für die Flasche",
    "rule_sip_safety": "beide Hände an den Lenker",
    "sip_with_the_bite": "ein Schluck zum Bissen hilft ihn hinunter",
    "sip_on_the_way_up": "auf dem Weg nach oben trinken, damit oben keine Flasche geleert werden muss",
    "sip_little_and_often": "wenig und oft, wo eine Hand frei ist für die Flasche",
    "sip_before_the_halt": "noch einmal trinken vor dem Halt",
    "sip_the_rest": "austrinken, gleich wird nachgefüllt: {container}",
    "limit_stock": "Vorrat",
    "limit_reserve": "Reserve",
    "limit_amount": "Menge",
    "limit_caffeine": "Koffein",
    "limit_hour": "Kohlenhydrate in einer Stunde",
    "limit_veto_or_gap": "Verbot oder kürzester Abstand",
    # the rider's own wishes
    "pins": "Eigene Wünsche: {changes:semicolons}{more}. {kept} von {bites} Bissen bleiben, wie sie waren.",
    "now_eaten": "neu {item} bei {at_m:place}",
    "no_longer_eaten": "nicht mehr {item} bei {at_m:place}",
    "and_more": " und {count} weitere",
    # amounts that are too much, and days not to ride
    "ftp_question": "Eine FTP von {ftp_w:.0f} W bei {body_mass_kg:.0f} kg sind {w_per_kg:.1f} W je Kilogramm: so viel"
    " hält kaum jemand eine Stunde lang. Stimmt das? Tempo, Schweiß, Essen und Trinken folgen daraus; sonst ftp_w"
    " oder body_mass_kg in der Fahrer-Datei berichtigen.",
    "sodium_question": "{item} hat {sodium_mg:.0f} mg Natrium im Stück: stimmt das? Etiketten nennen Gramm Salz;"
    " ein Gramm sind 393 mg Natrium. Sonst sodium_mg in der Vorrats-Datei berichtigen.",
    "sodium_over": "{total_mg:.0f} mg Natrium in {hours:.0f} h ab {start_m:place}, meist aus {item}; höchstens"
    " {most_mg:.0f}. Ist das Etikett richtig gelesen? Ein Gramm Salz sind 393 mg Natrium: sodium_mg in der"
    " Vorrats-Datei berichtigen",
    "single_sugars_over": "{total_g:.0f} g einfacher Zucker in einer Stunde ab {start_m:place}, meist aus {item};"
    ' höchstens {most_g:.0f}: Essen mit beiden Arten mitnehmen, oder sugars = "mixed" in die Vorrats-Datei'
    " schreiben, wo es beide hat",
    "held_for_single_sugars": "Bei 60 g Kohlenhydraten je Stunde gehalten: zu viel vom Essen im Haus ist nur eine"
    " Art Zucker.",
    "caffeine_over": "{total_mg:.0f} mg Koffein in einer Stunde ab {start_m:place}, höchstens eine Dosis von"
    " {dose_mg:.0f}: caffeine_mg_max in der Fahrer-Datei senken",
    "drink_in_doubt": "{drunk_ml:tens} ml sind bis zum Ziel getrunken; wer nur {low_ml:tens} ml schwitzt, trinkt"
    " damit {over_ml:tens} mehr als sicher ist: nach Durst trinken, und sweat_rate_ml_per_h nach einer Wägung in"
    " die Fahrer-Datei schreiben",
    "loss_dangerous": "ab {start_m:place} fehlen mehr als 4 % der Körpermasse, schlimmstenfalls {share:pct1} %: das"
    " ist gefährlich; ein [[feed]] in die Tages-Datei, kürzer oder ruhiger fahren",
    "do_not_ride": "nicht fahren: {why}",
    "storm_gusts": "Böen von {gusts_km_h:.0f} km/h werfen ein Rad über die Straße; einen anderen Tag wählen: start"
    " in der Tages-Datei",
    "storm_wind": "{wind_km_h:.0f} km/h Wind werfen ein Rad über die Straße; einen anderen Tag wählen: start in der"
    " Tages-Datei",
    "hot_down_there": " ({temperature_c:.0f} °C am tiefsten Ort, {at_m:place})",
    "heat_for_the_unused": "bei solcher Hitze{where} wird für Ungewohnte abgesagt; starten, wenn es kühler ist, oder nach"
    " zehn Tagen in der Hitze heat_acclimatised = true in die Fahrer-Datei",
    "heat_for_all": "bei solcher Hitze{where} wird für alle abgesagt; starten, wenn es kühler ist: start und temperature_c"
    " in der Tages-Datei",
    "heat_for_the_young": "bei solcher Hitze{where} wird Sport unter 18 abgesagt; starten, wenn es kühler ist: start und"
    " temperature_c in der Tages-Datei",
    "cold_and_wet": "{coldest_c:.0f} °C auf nasser Straße: Eis im Schatten und auf Brücken, nasse Kleider im"
    " Fahrtwind; einen anderen Tag wählen: start in der Tages-Datei",
    "wet_and_cold": "{hours:.1f} Stunden im Sattel auf nasser Straße bei {cold_c:.0f} °C oder kälter, wo {most_h:.0f} das"
    " Äußerste sind: durchnässt kühlt der Körper aus; die Strecke kürzen oder einen anderen Tag wählen: start in der"
    " Tages-Datei",
    "frostbite": "im Gesicht fühlt es sich beim Fahren wie {chill_c:.0f} °C an: Erfrierungen; einen anderen Tag"
    " wählen: start in der Tages-Datei",
    "night_without_light": "ab {start_m:place} ist es dunkel und das Rad hat kein Licht; welches anbauen und lights"
    " = true in die Fahrer-Datei, oder früher losfahren",
    "too_long_for_the_young": "{hours:.1f} Stunden im Sattel mit {age_y:.0f} Jahren, wo {most_h:.0f} das Äußerste sind;"
    " die Strecke kürzen oder auf Tage verteilen",
    "effort_too_long": "{effort:pct0} % der FTP über {hours:.1f} h, wo {allowed:pct0} % so lange reichen:"
    " effort_flat und effort_climb in der Tages-Datei senken, oder ftp_w berichtigen",
    # hard rules that cannot be kept
    "not_kept": "NICHT EINGEHALTEN: {what}",
    "long_gap": "{gap_min:.0f} min ohne Essen zwischen {start_m:place1} und {end_m:road1}, {over_min:.0f}"
    " mehr"
    " als die erlaubten {longest_min:.3g}",
    "no_drink_with_bite": "kein Getränk zum Bissen ({item}): die Flaschen sind leer, oder die Straße"
    " erlaubt rechtzeitig keinen Schluck; mehr zu trinken mitnehmen oder vorher nachfüllen",
    "no_drink_with_bites": "kein Getränk zu {count} Bissen: die Flaschen sind leer, oder die Straße erlaubt"
    " rechtzeitig keinen Schluck; mehr zu trinken mitnehmen oder vorher nachfüllen",
    "fluid_in_food": "die Flüssigkeit im Essen selbst ist {over_ml:.0f} ml mehr, als bis dahin getrunken"
    " werden darf; Essen mit weniger Flüssigkeit nehmen",
    "rule_foot_of_climb": "nicht am Fuß des Anstiegs",
    "rule_at_the_halt": "beim Halt statt daneben",
    "rule_steep_ramp": "nicht auf der steilen Rampe",
    "rule_fed_for_the_ramp": "hier isst es sich leichter als auf der steilen Rampe",
    "rule_soft_in_cold": "bleibt in der Kälte weich",
    "rule_chewing": "geht ohne Kauen hinunter",
    "gap_slightly_over": "{gap}: so wenig, dass es bleiben kann",
    "filled_to_the_brim": "Jede Flasche fährt voll los: gefüllt wie die Strecke allein es will, waren sie bei etwa"
    " {hundredths:.0f} von 100 Fahrten leer.",
    "cut_short": "Ein so langer oder so voller Tag braucht viel Planung, darum wurde sie abgekürzt:"
    " {parts:list}.",
    "left_out_bites": "bessere Stellen für die Bissen wurden nicht zu Ende gesucht",
    "left_out_changes": "nicht jede Änderung in der Küche wurde probiert",
    "left_out_proof": "wie viel besser ein Plan sein könnte, wurde nicht zu Ende gerechnet",
    "left_out_remedies": "nicht alles, was helfen könnte, wurde probiert",
    "left_out_mishaps": "nicht jedes Missgeschick wurde geplant",
    "one_and_another": "{first} {second}",
    "left_at_home": "Bleibt zu Hause, weil die Taschen nicht mehr fassen: {items:list}.",
    "cut_finer": "In mehr Bissen geschnitten als im Vorrat steht, damit der Rhythmus hält: {items:list}.",
    "with_remedy": "{what}. Ausprobiert, und es hilft: {remedy}",
    "longer_gap": "longest_gap_min = {gap_min:.0f} in der Fahrer-Datei",
    "add_feed": "[[feed]] at_km = {at_km} in die Tages-Datei",
    "add_two_feeds": "[[feed]] at_km = {first_km} und [[feed]] at_km = {second_km} in die Tages-Datei",
    "add_pocket": '[[container]] name = "{name}" für {items} Stück in die Vorrats-Datei',
    "raise_limit": "carbohydrate_limit_g_per_h = {limit_g_per_h:.0f} in der Fahrer-Datei, wenn der Darm"
    " daran gewöhnt ist",
    "raise_count": "count = {count} bei {item} in der Vorrats-Datei",
    "carbohydrate_limited": "{planned_g_per_h:.0f} g Kohlenhydrate in der Stunde sind geplant,"
    " {wanted_g_per_h:.0f} gewollt: {limit}{tried}.",
    "limited_remedy": "; ausprobiert: {planned_g_per_h:.0f} g in der Stunde mit: {change:clause}",
    "limited_by_gut": "mehr passt nicht unter die Grenze des Darms",
    "limited_by_stock": "das Essen zu Hause reicht nicht",
    "limited_by_drink_strength": "Trinken bringt nicht mehr: so viel, wie der Durst verlangt"
    " und die Flaschen fassen, nicht stärker, als Packung und Magen erlauben",
    "limited_by_time": "die Fahrt ist zu kurz für mehr Bissen",
    "limited_by_places": "zu viel Straße verlangt beide Hände",
    "limited_by_portions": "die Stücke sind zu groß für eines mehr in der Stunde",
    "limited_by_rhythm": "der Rhythmus bringt nicht mehr Bissen",
    "limited_by_room": "mehr passt nicht in die Taschen; eine mehr oder Essen, das gereicht wird, brächte es",
    "eat_sooner": "first_food_min = {first_min:.0f} in der Fahrer-Datei",
    "eat_oftener": "eat_every_min = {every_min:.0f} in der Fahrer-Datei",
    "water_instead": "Wasser statt Mischung in den Flaschen, damit der Rhythmus de"
    "r Bissen unter der Grenze des Darms hält.",
    "cut_finer_and_water": "In mehr Bissen geschnitten als im Vorrat steht ({items:list}"
    "), und Wasser statt Mischung, damit der Rhythmus hält.",
    "track_repeated": "Die Punkte {first:count} bis {last:count} von {source} sind noch einmal Spur "
    "{track:count} und bleiben weg; wer zweimal fährt, legt beide Runden in eine Spur.",
    "stray_points": "{count:count} {count:Punkt|Punkte} von {source}, ab Punkt {first:count} bei "
    "{at_m:place1}, {count:liegt|liegen} {off_m:length} neben der Straße und "
    "{count:bleibt|bleiben} als Ausreißer weg.",
    "two_laps": "Ab Punkt {first:count} wiederholt sich {source} Punkt für Punkt: zwei Runden sind "
    "geplant; wer eine fährt, exportiert sie einmal.",
    "sparse_points": "Die Punkte von {source} liegen {leg_m:length} auseinander: Kurven und Anstiege "
    "dazwischen sind nicht zu sehen; die Strecke mit allen Punkten exportieren.",
    "straight_leg": "Von Punkt {first:count} bis {last:count} von {source}, bei {at_m:place1}, fehlen auf "
    "{leg_m:length} die Punkte: Ist die Straße dort gerade? Wenn nicht, die ganze Strecke "
    "exportieren.",
    "straight_legs_more": "{count:count} weitere {count:Lücke|Lücken} von {source} {count:ist|sind} ebenso lang.",
    "waypoints_thinned": "{given:count} Wegpunkte stehen in {source}: von jeder Art wird einer auf 250 m genommen, zusammen {kept:count}.",
    "heights_all_zero": "Jede Höhe in {source} ist 0: Höhen kommen aus Kacheln.",
    "heights_zero_throughout": "Jede Höhe in {source} ist 0, also ist kein Anstieg zu sehen: Liegt die Straße eben am"
    " Meer? Wenn nicht, Höhen aus Kacheln nehmen, siehe README.md.",
    "heights_leap": "Bei {at_m:place1} liegen die Höhen auf {over_m:height} um {rise_m:height} auseinander: So steil ist"
    " keine Straße, und was davon gerechnet wird, stimmt nicht; Höhen aus Kacheln nehmen oder die"
    " Strecke neu exportieren.",
    "heights_above_all_roads": "Bei {at_m:place1} liegt die Straße {height_m:height} hoch, höher als jede Straße: Höhen"
    " aus Kacheln nehmen oder die Strecke neu exportieren.",
    "heights_bridged": "{count:count} {count:Punkt hat|Punkte haben} keine Höhe, der erste ist Punkt "
    "{first:count} von {source} bei {at_m:place1}: Höhen sind gerade überbrückt.",
}
