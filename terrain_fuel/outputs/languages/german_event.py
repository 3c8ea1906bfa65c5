"""German of what an organiser is told of an event."""

SENTENCES: dict[str, str] = {
    "event_heat_discretion": "Bei „{scenario}“ ist es so heiß{where}, dass leidet, wer Hitze nicht gewohnt ist: mehr Wasser,"
    " Schatten und Helfer an jeder Verpflegung.",
    "event_heat_limit": "Bei „{scenario}“ ist die Hitze{where} für harte Anstrengung gefährlich: an eine kürzere Strecke,"
    " mehr Verpflegungen und mehr Sanität denken.",
    "event_heat_cancel": "Bei „{scenario}“ ist es heißer{where}, als Veranstaltungen stattfinden: an einen anderen Tag oder"
    " eine andere Stunde denken.",
    "event_storm": "Bei „{scenario}“ wirft ein Wind von {wind_km_h:.0f} km/h Räder über die Straße: an einen anderen Tag"
    " denken.",
    "event_ice": "Bei „{scenario}“ hat es am höchsten Punkt {coldest_c:.0f} °C auf nasser Straße: Eis, und Fahrer, die vor"
    " Kälte nicht bremsen können: an einen anderen Tag oder eine tiefere Strecke denken.",
    "event_wet_cold": "Bei „{scenario}“ fährt, wer zuletzt ankommt, {hours:.1f} Stunden auf nasser Straße bei {cold_c:.0f} °C oder"
    " kälter, wo {most_h:.0f} das meiste sind, was ein Körper erträgt: an einen anderen Tag oder eine kürzere Strecke denken.",
    "event_overdrunk": "In einem von zehn Durchläufen {riders:endet|enden} {riders} Fahrer oder mehr einen halben Liter und mehr über ihrem Schweiß"
    " ({share:pct1} %): über den Durst zu trinken kann töten. Den Fahrern sagen, nach Durst zu trinken, und der"
    " Sanität, darauf zu achten.",
    "event_dangerously_lost": "In einem von zehn Durchläufen {riders:verliert|verlieren} {riders} Fahrer oder mehr über 4 % der"
    " Körpermasse"
    " ({share:pct1} %).",
    "event_much_lost": "In einem von zehn Durchläufen {riders:verliert|verlieren} {riders} Fahrer oder mehr über 2 % der"
    " Körpermasse"
    " ({share:pct1} %).",
    "event_dense_descent": "In der technischen Abfahrt von {start_m:place1} bis {end_m:road1} folgt gegen {clock:clock} im"
    " Mittel alle {gap_m:.0f} m ein Fahrer dem anderen: kleinere Startgruppen oder mehr Zeit dazwischen, Posten und"
    " Schilder.",
    "event_long_wait": "Bei {feed} wartet jeder Zehnte in der Schlange länger als {wait_s:duration}, und gegen"
    " {clock:clock} stehen bis zu {waiting} in ihr: die Straße daneben freihalten, mehr Hähne oder kleinere"
    " Startgruppen.",
    "event_few_runs": "Die {runs} Durchläufe sind zu wenige für ein Risiko von {risk:pct1} %: der Vorrat ist der des"
    " durstigsten; mehr gezogene Tage sagen mehr.",
    "event_defer": "Dies ist ein Modell und keine Genehmigung: über Wasser, Sanität, Straßen, Wetter und Abbruch"
    " entscheiden Ihre Sanität und die Behörden.",
}

LABELS: dict[str, str] = {
    "event.over": "{riders} Fahrer, {runs} Durchläufe mit {scenarios} Arten von Wetter",
    "event.title": "An den Verpflegungen: {name}",
    "event.total.length": "Länge",
    "event.total.ascent": "Anstieg",
    "event.total.first": "erster im Ziel",
    "event.total.middle": "die Hälfte im Ziel",
    "event.total.last": "letzter im Ziel",
    "event.total.litres": "aus den Hähnen je Fahrer",
    "event.litres": "{low:.1f} bis {high:.1f} l",
    "event.mind": "Zu beachten",
    "event.map": "Die Straße",
    "event.map.spoken": "Karte der Straße mit den Verpflegungen {feeds:list} als Quadraten mit Buchstaben, technische"
    " Abfahrten schraffiert.",
    "event.map.note": "Quadrate sind Verpflegungen mit ihrem Buchstaben; quer schraffiert ist, wo eine Abfahrt technisch"
    " ist.",
    "event.feeds": "Verpflegungen",
    "event.feed": "{letter}  {name}, {at_m:place1}",
    "event.feed.hours": "Bereit bis {opens:clock}; bis {closes:clock} ist der Letzte weg.",
    "event.feed.crowd": "Höchstens {standing:.0f} Fahrer stehen dort, davon {waiting:.0f} in der Schlange vor"
    " {taps} {taps:Hahn|Hähnen}. Wer ansteht, wartet in der Mitte {half}, jeder Zehnte länger als"
    " {most}. Einer von zehn Durchläufen ist schlimmer.",
    "event.arrivals": "Fahrer in fünf Minuten",
    "event.arrivals.note": "Linie: Fahrer, die kommen, Mitte der Durchläufe; grau: acht von zehn Durchläufen;"
    " gestrichelt: die anhalten.",
    "event.arrivals.spoken": "Fahrer bei {feed} nach der Uhr: bis zu {most:.0f} in fünf Minuten, gegen {clock:clock}.",
    "event.crowd": "Fahrer zugleich",
    "event.crowd.note": "Linie: Fahrer, die dort stehen, die meisten in einem Augenblick; grau: acht von zehn"
    " Durchläufen; gestrichelt: die in der Schlange.",
    "event.crowd.spoken": "Stehende Fahrer bei {feed} nach der Uhr: bis zu {most:.0f} zugleich, gegen {clock:clock}.",
    "event.litres.upward": "Liter, gestrichelt Stücke, in fünf Minuten",
    "event.litres.note": "Linie: Liter aus allen Hähnen, Mitte der Durchläufe; grau: acht von zehn Durchläufen;"
    " gestrichelt: Stücke, die in fünf Minuten genommen werden.",
    "event.litres.spoken": "Liter aus den Hähnen von {feed} nach der Uhr: bis zu {most:.0f} in fünf Minuten, gegen"
    " {clock:clock}.",
    "event.stock": "Vorrat",
    "event.stock.item": "was",
    "event.stock.middle": "verbraucht, Mitte der Durchläufe",
    "event.stock.needed": "mitbringen",
    "event.stock.litre": "{amount:.0f} l",
    "event.stock.piece": "{amount:.0f} Stück",
    "event.stock.note": "Was mitzubringen ist, reicht in allen Durchläufen bis auf {risk:pct1} %, aufgerundet.",
    "event.parts": "Anstiege und Abfahrten",
    "event.part.kind": "Straße",
    "event.part.climb": "Anstieg",
    "event.part.descent": "Abfahrt",
    "event.part.technical": "technische Abfahrt",
    "event.part.where": "von, bis",
    "event.part.span": "{start_m:place1} – {end_m:road1}",
    "event.part.first": "erster Fahrer",
    "event.part.last": "letzter Fahrer",
    "event.part.densest": "am vollsten gegen",
    "event.part.gap": "ein Fahrer alle",
    "event.part.metres": "{value:.0f} m",
    "event.part.note": "Erster und letzter Fahrer in irgendeinem Durchlauf. In Abfahrten der mittlere Weg von Fahrer zu"
    " Fahrer, wo es am vollsten ist; einer von zehn Durchläufen ist voller.",
    "event.variants": "Verglichen",
    "event.variant.name": "Anordnung",
    "event.variant.as_meant": "wie gedacht",
    "event.variant.queue": "längste Schlange",
    "event.variant.wait": "jeder Zehnte wartet länger als",
    "event.variant.gap": "technische Abfahrt, ein Fahrer alle",
    "event.variant.last": "letzter im Ziel",
    "event.variant.bring": "mitbringen, alle Verpflegungen",
    "event.variant.at": "{letter} {waiting:.0f}",
    "event.variant.wait_at": "{letter} {wait}",
    "event.wait.seconds": "{wait_s:.0f} s",
    "event.wait.minutes": "{wait_s:duration}",
    "event.variant.note": "Dieselben Fahrer bei demselben Wetter: einer von zehn Durchläufen ist schlimmer.",
    "event.field": "Alle Fahrer",
    "event.field.row": "was",
    "event.field.low": "einer von zehn Durchläufen darunter",
    "event.field.middle": "Mitte",
    "event.field.high": "einer von zehn Durchläufen darüber",
    "event.field.overdrunk": "enden einen halben Liter über ihrem Schweiß",
    "event.field.much_lost": "verlieren mehr als 2 % der Körpermasse",
    "event.field.dangerously_lost": "verlieren mehr als 4 % der Körpermasse",
    "event.field.percent": "{value:.1f} %",
    "event.how": "Woher das kommt",
    "event.how.note": "Jeder Fahrer wird aus den Streuungen des Feldes gezogen und mit den Modellen von Tempo, Schweiß und"
    " Trinken gefahren, die eine einzelne Fahrt planen, jeder für sich: auf der Straße hält niemand einen anderen auf,"
    " und Gruppen zählen nur als Windschatten der Fahrer. An der Verpflegung kommt dran, wer zuerst kommt. Alle Zahlen"
    " stehen in den Tabellen neben dieser Seite.",
    "event.none": "keine",
    "event.sheet.title": "Verpflegung {letter}: {name}",
    "event.sheet.facts": "{event} · {date} · {at_m:place1}",
    "event.sheet.subject": "Was eine Verpflegung braucht, und wann",
    "event.sheet.hours": "Stunden",
    "event.sheet.ready": "bereit",
    "event.sheet.first": "erster Fahrer",
    "event.sheet.busiest": "am meisten los",
    "event.sheet.close": "der Letzte ist weg",
    "event.sheet.stock": "Mitbringen",
    "event.sheet.used": "wohl {amount}",
    "event.sheet.half_hours_note": "Nicht mehr in neun von zehn Läufen, jede halbe Stunde für sich: eine Spalte ergibt mehr, als insgesamt kommt.",
    "event.sheet.half_hours": "Nach halben Stunden",
    "event.sheet.clock": "ab",
    "event.sheet.riders": "Fahrer",
    "event.sheet.litres": "Liter",
    "event.sheet.pieces": "Stücke",
    "event.sheet.standing": "stehen",
    "event.sheet.mind": "Zu beachten",
    "event.sheet.drink": "Niemand muss trinken: ausgeben, was verlangt wird. Wer nach viel Wasser verwirrt, übel oder"
    " geschwollen ist, bekommt keines mehr und sofort Sanität.",
    "event.sheet.allergy": "Zeigen, was im Essen ist; viele vertragen keine Nüsse, kein Gluten oder keine Milch.",
    "event.sheet.road": "Die Straße für die freihalten, die vorbeifahren; niemand hält vor dem ersten Tisch.",
    "event.sheet.notes": "Notizen",
    "event.call_off": "NICHT DURCHFÜHREN: {sentence}",
    "event.terminal.done": "{name}: {riders} Fahrer, {runs} Durchläufe; {litres:.1f} l aus den Hähnen je Fahrer.",
    "event.terminal.feed": "{letter} {name}: {opens:clock}–{closes:clock}, höchstens {standing:.0f} stehen, mitbringen"
    " {stock:list}",
}
