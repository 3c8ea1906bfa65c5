"""What the page can ask for: a fixed list of addresses, none of which holds a name or a path of a file."""

import asyncio
import contextlib
import json
from collections.abc import AsyncIterator, Awaitable, Callable

from starlette.applications import Starlette
from starlette.background import BackgroundTask
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from terrain_fuel.errors import ElevationError, TerrainFuelError
from terrain_fuel.page.after_answers import AfterAnswers
from terrain_fuel.page.along_answers import AlongAnswers
from terrain_fuel.page.asked import asked_of, count_of, edits_of, language_among
from terrain_fuel.page.beside import beside_data
from terrain_fuel.page.first_page import first_page, page_files, start_data, words_at
from terrain_fuel.page.ride import Ride
from terrain_fuel.page.sentence import sentence_edits
from terrain_fuel.page.table import SeveralTracksError, Table
from terrain_fuel.page.told import told_of
from terrain_fuel.text import plain_text

MOST_EARS = 16
"""Pages that may look at one ride at once."""

LOOK_AGAIN_S = 2.0
"""How often a watched ride's folder is looked at for changes from elsewhere."""

Answer = Callable[[Request], Awaitable[Response]]


def build_app(table: Table) -> Starlette:
    """Return the application, to be put behind the `Guard`."""
    page = _Page(table)
    along, after = AlongAnswers(table, page.ride), AfterAnswers(table, page.ride)
    routes = [
        ("/", page.first, "GET"),
        ("/alive", page.alive, "GET"),
        ("/files/{name}", page.file, "GET"),
        ("/start", page.start, "GET"),
        ("/language", page.language, "POST"),
        ("/rides", page.new_ride, "POST"),
        ("/rides/track/{number:int}", page.new_ride, "POST"),
        ("/rides/heights", page.new_ride_with_heights, "POST"),
        ("/rides/heights/track/{number:int}", page.new_ride_with_heights, "POST"),
        ("/offered/{number:int}", page.take_offered, "POST"),
        ("/gone/{number:int}", page.put_back, "POST"),
        ("/rides/{key}/take-off", page.take_off, "POST"),
        ("/rides/{key}/pages/{name}", along.pages, "GET"),
        ("/rides/{key}/pages/{name}/{number:int}", along.picture, "GET"),
        ("/rides/{key}", page.state, "GET"),
        ("/rides/{key}/plan", page.plan, "GET"),
        ("/rides/{key}/told", page.told, "GET"),
        ("/rides/{key}/relief", page.relief, "GET"),
        ("/rides/{key}/watch", page.watch, "GET"),
        ("/rides/{key}/change", page.change, "POST"),
        ("/rides/{key}/undo", page.undo, "POST"),
        ("/rides/{key}/redo", page.redo, "POST"),
        ("/rides/{key}/beside", page.put_beside, "POST"),
        ("/rides/{key}/beside/{other}", page.compare, "GET"),
        ("/rides/{key}/shopping", along.shopping, "GET"),
        ("/rides/{key}/shopping/week", along.shopping_of_the_week, "GET"),
        ("/rides/{key}/luck", page.luck, "POST"),
        ("/rides/{key}/advice/{number:int}", page.advice, "POST"),
        ("/rides/{key}/sentence", page.sentence, "POST"),
        ("/rides/{key}/outputs", along.draw, "POST"),
        ("/rides/{key}/outputs/{name}", along.output, "GET"),
        ("/rides/{key}/print/{name}", along.print, "GET"),
        ("/rides/{key}/ride.zip", along.everything, "GET"),
        ("/rides/{key}/after", after.after, "GET"),
        ("/rides/{key}/after", after.fill_in, "POST"),
        ("/rides/{key}/after/{name}", after.file, "GET"),
        ("/rides/{key}/recording", after.recording, "POST"),
        ("/rides/{key}/recording/more", after.recording_too, "POST"),
        ("/rides/{key}/recording/remove", after.take_out, "POST"),
        ("/rides/{key}/learned", after.learned, "GET"),
        ("/rides/{key}/learned", after.use_learned, "POST"),
    ]
    return Starlette(
        routes=[Route(path, _told(answer, table), methods=[method]) for path, answer, method in routes]
    )


def _told(answer: Answer, table: Table) -> Answer:
    """Return an endpoint whose every fault becomes one sentence, in the words of the page."""

    async def telling(request: Request) -> Response:
        try:
            return await answer(request)
        except Exception as fault:
            status = 400 if isinstance(fault, TerrainFuelError) else 500
            words = await run_in_threadpool(words_at, table, _accepted(request))
            return JSONResponse({"say": told_of(fault, words)}, status)

    return telling


def _accepted(request: Request) -> str:
    """Return which languages a request asks for, in the manner of ``Accept-Language``."""
    return request.headers.get("accept-language", "")


class _Page:
    """The endpoints, over one table."""

    def __init__(self, table: Table) -> None:
        self._table = table
        self._files = page_files()

    async def first(self, request: Request) -> Response:
        return Response(
            await run_in_threadpool(first_page, self._table, _accepted(request)),
            media_type="text/html; charset=utf-8",
        )

    async def alive(self, request: Request) -> Response:
        return JSONResponse({"page": "terrain-fuel"})

    async def file(self, request: Request) -> Response:
        found = self._files.get(request.path_params["name"])
        if found is None:
            return JSONResponse({"say": "there is no such file of the page"}, 404)
        return Response(found.content, media_type=found.kind)

    async def start(self, request: Request) -> Response:
        return JSONResponse(await run_in_threadpool(start_data, self._table, _accepted(request)))

    async def language(self, request: Request) -> Response:
        """Keep the language that was chosen by hand before there is a rider; the page is asked for anew."""
        asked = asked_of(await request.body())
        await run_in_threadpool(self._table.choose_language, str(asked.get("language")))
        return JSONResponse({})

    async def new_ride(self, request: Request) -> Response:
        """Answer with the new ride, or with what is to be chosen first: a track, where heights come from."""
        body, number = await request.body(), request.path_params.get("number")
        try:
            ride = await run_in_threadpool(self._table.new_ride, body, number, accepted=_accepted(request))
        except SeveralTracksError as several:
            told = [[plain_text(name), round(length_m)] for name, length_m in several.tracks]
            return JSONResponse({"tracks": told})
        except ElevationError as lacking:
            words = await run_in_threadpool(words_at, self._table, _accepted(request))
            return JSONResponse({"heights": told_of(lacking, words)})
        return JSONResponse({"ride": ride.key})

    async def new_ride_with_heights(self, request: Request) -> Response:
        """Answer with the new ride, its heights fetched: the one request for which the network is asked."""
        body, number = await request.body(), request.path_params.get("number")
        ride = await run_in_threadpool(
            self._table.new_ride, body, number, fetch=True, accepted=_accepted(request)
        )
        return JSONResponse({"ride": ride.key})

    async def take_off(self, request: Request) -> Response:
        await run_in_threadpool(self._table.take_off, await self.ride(request))
        return JSONResponse(await run_in_threadpool(start_data, self._table, _accepted(request)))

    async def put_back(self, request: Request) -> Response:
        ride = await run_in_threadpool(self._table.put_back, request.path_params["number"])
        return JSONResponse({"ride": ride.key})

    async def take_offered(self, request: Request) -> Response:
        ride = await run_in_threadpool(self._table.offered, request.path_params["number"], _accepted(request))
        return JSONResponse({"ride": ride.key})

    async def state(self, request: Request) -> Response:
        ride = await self.ride(request)
        self._table.looked_at = ride
        return await self._with_state(ride)

    async def plan(self, request: Request) -> Response:
        shown = (await self.ride(request)).shown
        if shown is None:
            return JSONResponse({"say": "not planned yet"}, 404)
        taken = BackgroundTask(shown.taken.set)
        return Response(shown.data, media_type="application/json", background=taken)

    async def told(self, request: Request) -> Response:
        """Answer with what is told of a plan beside its points, to a page that shows these."""
        shown = (await self.ride(request)).shown
        if shown is None:
            return JSONResponse({"say": "not planned yet"}, 404)
        return Response(shown.told, media_type="application/json")

    async def relief(self, request: Request) -> Response:
        shown = (await self.ride(request)).shown
        if shown is None:
            return JSONResponse({"say": "not planned yet"}, 404)
        return Response(shown.relief, media_type="application/json")

    async def watch(self, request: Request) -> Response:
        ride = await self.ride(request)
        if ride.bell.ears >= MOST_EARS:
            return JSONResponse({"say": "too many pages look at this ride"}, 503)
        return StreamingResponse(self._news(ride), media_type="text/event-stream")

    async def _news(self, ride: Ride) -> AsyncIterator[str]:
        """Yield what is new of a ride, as long as somebody listens."""
        said = ""
        with ride.bell.heard() as ear:
            while True:
                ear.clear()
                if await run_in_threadpool(ride.looks_other) and ride.stale:
                    self._table.planner.want(ride)
                news = json.dumps(await run_in_threadpool(lambda: ride.news))
                yield f"data: {news}\n\n" if news != said else ":\n\n"
                said = news
                with contextlib.suppress(TimeoutError):
                    await asyncio.wait_for(ear.wait(), LOOK_AGAIN_S)

    async def change(self, request: Request) -> Response:
        asked = asked_of(await request.body())
        ride = await self.ride(request)
        edits, count = edits_of(asked.get("edits")), count_of(asked.get("change"))
        await run_in_threadpool(ride.change, edits, count, self._table.planner)
        if (language := language_among(edits)) is not None:
            await run_in_threadpool(self._table.choose_language, language)
        return await self._with_state(ride)

    async def undo(self, request: Request) -> Response:
        ride = await self.ride(request)
        await run_in_threadpool(ride.undo)
        return await self._with_state(ride)

    async def redo(self, request: Request) -> Response:
        ride = await self.ride(request)
        await run_in_threadpool(ride.redo)
        return await self._with_state(ride)

    async def put_beside(self, request: Request) -> Response:
        ride = await self.ride(request)
        other = await run_in_threadpool(self._table.beside, ride)
        return JSONResponse({"ride": other.key})

    async def compare(self, request: Request) -> Response:
        one = await self.ride(request)
        other = await run_in_threadpool(self._table.ride, request.path_params["other"])
        for ride in (one, other):
            if ride.stale:
                self._table.planner.want(ride)
            if ride.shown is None or ride.busy:
                return JSONResponse({"wait": not ride.fault, "say": ride.fault})
        return JSONResponse(await run_in_threadpool(beside_data, one, other))

    async def luck(self, request: Request) -> Response:
        return JSONResponse(await run_in_threadpool((await self.ride(request)).try_luck))

    async def advice(self, request: Request) -> Response:
        asked = asked_of(await request.body())
        ride, number = await self.ride(request), request.path_params["number"]
        change = count_of(asked.get("change"))
        edits = await run_in_threadpool(ride.chances.followed, number)
        await run_in_threadpool(ride.change, edits, change, self._table.planner)
        return await self._with_state(ride)

    async def sentence(self, request: Request) -> Response:
        asked = asked_of(await request.body())
        ride, change = await self.ride(request), count_of(asked.get("change"))
        edits = await run_in_threadpool(lambda: sentence_edits(asked, ride.settings(ride.folder)))
        await run_in_threadpool(ride.change, edits, change, self._table.planner)
        return await self._with_state(ride)

    async def _with_state(self, ride: Ride) -> Response:
        state = await run_in_threadpool(ride.state)
        if ride.stale:
            self._table.planner.want(ride)
        ride.bell.ring()
        return JSONResponse(state)

    async def ride(self, request: Request) -> Ride:
        """Return the ride that a request is about."""
        return await run_in_threadpool(self._table.ride, request.path_params["key"])
