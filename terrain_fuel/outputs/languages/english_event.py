"""English of what an organiser is told of an event."""

SENTENCES: dict[str, str] = {
    "event_heat_discretion": "In “{scenario}” it is hot enough{where} that those not used to heat suffer: more water,"
    " shade and helpers at every feed.",
    "event_heat_limit": "In “{scenario}” the heat{where} is dangerous for hard effort: think of a shorter course, more feeds"
    " and more medical staff.",
    "event_heat_cancel": "In “{scenario}” the heat{where} is beyond what events are held in: think of another day or"
    " hour.",
    "event_storm": "In “{scenario}” a wind of {wind_km_h:.0f} km/h throws bicycles across the road: think of another day.",
    "event_ice": "In “{scenario}” it is {coldest_c:.0f} °C on a wet road where the road is highest: ice, and riders who"
    " cannot brake for cold: think of another day or a lower road.",
    "event_wet_cold": "In “{scenario}” who comes in last rides {hours:.1f} hours on a wet road at {cold_c:.0f} °C or colder, where"
    " {most_h:.0f} are the most that a body bears: think of another day or a shorter course.",
    "event_overdrunk": "In one run of ten {riders} {riders:rider|riders} or more {riders:ends|end} half a litre and more above what they sweat"
    " ({share:pct1} %): drinking beyond thirst can kill. Tell riders to drink to thirst, and medical staff to look"
    " for it.",
    "event_dangerously_lost": "In one run of ten {riders} {riders:rider|riders} or more {riders:loses|lose} over 4 % of body mass"
    " ({share:pct1} %).",
    "event_much_lost": "In one run of ten {riders} {riders:rider|riders} or more {riders:loses|lose} over 2 % of body mass"
    " ({share:pct1} %).",
    "event_dense_descent": "On the technical descent from {start_m:place1} to {end_m:road1} one rider follows the other"
    " every {gap_m:.0f} m on average about {clock:clock}: smaller waves or more time between them, marshals and signs.",
    "event_long_wait": "At {feed} one in ten who queue waits longer than {wait_s:duration} and up to {waiting} stand in"
    " the queue about {clock:clock}: keep the road beside it free, add taps or start smaller waves.",
    "event_few_runs": "The {runs} runs are too few to tell a risk of {risk:pct1} %: the stock is that of the thirstiest"
    " of them; more drawn days tell more.",
    "event_defer": "This is a model, not a permit: on water, medical cover, roads, weather and stopping the event your"
    " medical staff and the authorities decide.",
}

LABELS: dict[str, str] = {
    "event.over": "{riders} riders, {runs} runs of {scenarios} kinds of weather",
    "event.title": "At the feeds of {name}",
    "event.total.length": "length",
    "event.total.ascent": "ascent",
    "event.total.first": "first finish",
    "event.total.middle": "half have finished",
    "event.total.last": "last finish",
    "event.total.litres": "from the taps, a rider",
    "event.litres": "{low:.1f} to {high:.1f} l",
    "event.mind": "Worth knowing",
    "event.map": "The road",
    "event.map.spoken": "Map of the road with the feeds {feeds:list} as lettered squares and technical descents hatched.",
    "event.map.note": "Squares are feeds by their letter; hatched across the road where a descent is technical.",
    "event.feeds": "Feeds",
    "event.feed": "{letter}  {name}, {at_m:place1}",
    "event.feed.hours": "Ready by {opens:clock}; the last rider has left by {closes:clock}.",
    "event.feed.crowd": "At most {standing:.0f} riders stand there, {waiting:.0f} of them in the queue before"
    " {taps} {taps:tap|taps}. Who queues waits {half} in the middle, one in ten longer than"
    " {most}. One run in ten is worse.",
    "event.arrivals": "riders in five minutes",
    "event.arrivals.note": "Line: riders who come, the middle of the runs; grey: eight runs in ten; dashes: those who"
    " stop.",
    "event.arrivals.spoken": "Riders at {feed} by the clock: up to {most:.0f} in five minutes, about {clock:clock}.",
    "event.crowd": "riders at once",
    "event.crowd.note": "Line: riders standing at the feed, the most at one moment; grey: eight runs in ten; dashes:"
    " those in the queue.",
    "event.crowd.spoken": "Riders standing at {feed} by the clock: up to {most:.0f} at once, about {clock:clock}.",
    "event.litres.upward": "litres, and in dashes pieces, in five minutes",
    "event.litres.note": "Line: litres from all taps, the middle of the runs; grey: eight runs in ten; dashes: pieces"
    " taken in five minutes.",
    "event.litres.spoken": "Litres from the taps of {feed} by the clock: up to {most:.0f} in five minutes, about"
    " {clock:clock}.",
    "event.stock": "Stock",
    "event.stock.item": "what",
    "event.stock.middle": "used, middle of the runs",
    "event.stock.needed": "bring",
    "event.stock.litre": "{amount:.0f} l",
    "event.stock.piece": "{amount:.0f} pieces",
    "event.stock.note": "What to bring is enough in all but {risk:pct1} % of the runs, rounded up.",
    "event.parts": "Climbs and descents",
    "event.part.kind": "road",
    "event.part.climb": "climb",
    "event.part.descent": "descent",
    "event.part.technical": "technical descent",
    "event.part.where": "from, to",
    "event.part.span": "{start_m:place1} – {end_m:road1}",
    "event.part.first": "first rider",
    "event.part.last": "last rider",
    "event.part.densest": "fullest about",
    "event.part.gap": "one rider every",
    "event.part.metres": "{value:.0f} m",
    "event.part.note": "First rider in any run, last rider in any run. On a descent the mean way from rider to rider where"
    " it is fullest, one run in ten fuller.",
    "event.variants": "Compared",
    "event.variant.name": "arrangement",
    "event.variant.as_meant": "as it is meant",
    "event.variant.queue": "longest queue",
    "event.variant.wait": "one in ten waits longer than",
    "event.variant.gap": "technical descent, one rider every",
    "event.variant.last": "last finish",
    "event.variant.bring": "bring, all feeds",
    "event.variant.at": "{letter} {waiting:.0f}",
    "event.variant.wait_at": "{letter} {wait}",
    "event.wait.seconds": "{wait_s:.0f} s",
    "event.wait.minutes": "{wait_s:duration}",
    "event.variant.note": "The same riders in the same weather: one run in ten is worse.",
    "event.field": "All riders",
    "event.field.row": "what",
    "event.field.low": "one run in ten below",
    "event.field.middle": "middle",
    "event.field.high": "one run in ten above",
    "event.field.overdrunk": "end half a litre above their sweat",
    "event.field.much_lost": "lose more than 2 % of body mass",
    "event.field.dangerously_lost": "lose more than 4 % of body mass",
    "event.field.percent": "{value:.1f} %",
    "event.how": "How this is known",
    "event.how.note": "Every rider is drawn from the field's spreads and ridden by the models of pace, sweat and drinking"
    " that plan a single ride, each for themselves: on the road nobody holds another up, and groups count only as the"
    " shelter riders have. At a feed who comes first is served first. All numbers are in the tables beside this page.",
    "event.none": "none",
    "event.sheet.title": "Feed {letter}: {name}",
    "event.sheet.facts": "{event} · {date} · {at_m:place1}",
    "event.sheet.subject": "What a feed needs, and when",
    "event.sheet.hours": "Hours",
    "event.sheet.ready": "ready",
    "event.sheet.first": "first rider",
    "event.sheet.busiest": "busiest",
    "event.sheet.close": "the last has left",
    "event.sheet.stock": "Bring",
    "event.sheet.used": "{amount} likely",
    "event.sheet.half_hours_note": "No more than this in nine runs of ten, each half hour by itself: the columns add up to more than comes in all.",
    "event.sheet.half_hours": "By the half hour",
    "event.sheet.clock": "from",
    "event.sheet.riders": "riders",
    "event.sheet.litres": "litres",
    "event.sheet.pieces": "pieces",
    "event.sheet.standing": "standing",
    "event.sheet.mind": "Worth knowing",
    "event.sheet.drink": "Nobody has to drink: hand out what is asked for. Who is confused, sick or swollen after much"
    " water gets no more, and medical help at once.",
    "event.sheet.allergy": "Show what is in the food; many riders cannot have nuts, gluten or milk.",
    "event.sheet.road": "Keep the road free for those who ride by; nobody stops before the first table.",
    "event.sheet.notes": "Notes",
    "event.call_off": "DO NOT HOLD IT: {sentence}",
    "event.terminal.done": "{name}: {riders} riders, {runs} runs; {litres:.1f} l from the taps for each rider.",
    "event.terminal.feed": "{letter} {name}: {opens:clock}–{closes:clock}, at most {standing:.0f} standing, bring {stock:list}",
}
