"""What the page can ask for to take along: what to buy, outputs drawn, shown as they print, and saved."""

import asyncio
from collections.abc import Sequence

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from terrain_fuel.page.after_answers import FindRide
from terrain_fuel.page.ride import Ride
from terrain_fuel.page.shopping import rides_of_the_week, shopping_list
from terrain_fuel.page.table import Table
from terrain_fuel.page.take_along import OUTPUTS, PRINTED
from terrain_fuel.rides.ride_folder import ride_name

PRINT_POLICY = "default-src 'none'; object-src 'self'; style-src 'unsafe-inline'; frame-ancestors 'none'"
"""For a PDF shown by the browser itself, which puts it into a page of its own making."""


class AlongAnswers:
    """The endpoints of one ride's view "Take along"."""

    def __init__(self, table: Table, find_ride: FindRide) -> None:
        self._table, self._find = table, find_ride

    async def shopping(self, request: Request) -> Response:
        """Answer with what to buy for this ride."""
        return await self._shopping((await self._find(request),))

    async def shopping_of_the_week(self, request: Request) -> Response:
        """Answer with what to buy for all rides within seven days from this one."""
        ride = await self._find(request)
        rides = await run_in_threadpool(lambda: rides_of_the_week(ride, self._table.rides()))
        return await self._shopping(rides)

    async def _shopping(self, rides: Sequence[Ride]) -> Response:
        """Answer with what to buy, or that the plans are still on their way."""
        waiting = [ride for ride in rides if ride.stale or ride.shown is None or ride.busy]
        for ride in waiting:
            if ride.stale:
                self._table.planner.want(ride)
        names = [ride_name(ride.folder) for ride in rides]
        unplanned = [ride for ride in waiting if not ride.fault]
        if unplanned:
            return JSONResponse({"wait": True, "rides": names})
        plans = [ride.planned().plan for ride in rides]
        return JSONResponse({"wait": False, "rides": names, "lines": shopping_list(plans)})

    async def draw(self, request: Request) -> Response:
        """Have all outputs drawn from what the folder holds now; answer once they are."""
        ride = await self._find(request)
        change = (await run_in_threadpool(lambda: ride.head)).change
        if ride.outputs.drawn != change:
            drawing = asyncio.ensure_future(ride.outputs.draw(change))
            ride.bell.ring()
            try:
                await drawing
            finally:
                ride.bell.ring()
        return JSONResponse(await run_in_threadpool(lambda: ride.news))

    async def output(self, request: Request) -> Response:
        """Answer with an output, to be saved."""
        return await self._output(request, "attachment", {})

    async def print(self, request: Request) -> Response:
        """Answer with an output, to be shown by the browser and printed."""
        return await self._output(request, "inline", {"Content-Security-Policy": PRINT_POLICY})

    async def pages(self, request: Request) -> Response:
        """Answer how many sides of paper an output has."""
        ride, name = await self._find(request), request.path_params["name"]
        if name not in PRINTED or not ride.outputs.drawn:
            return _not_drawn()
        return JSONResponse({"pages": await run_in_threadpool(ride.outputs.pages, name)})

    async def picture(self, request: Request) -> Response:
        """Answer with one side of paper as a picture."""
        ride, name = await self._find(request), request.path_params["name"]
        number = request.path_params["number"]
        if name not in PRINTED or not ride.outputs.drawn:
            return _not_drawn()
        picture = await run_in_threadpool(ride.outputs.picture, name, number)
        return _not_drawn() if picture is None else Response(picture, media_type="image/png")

    async def everything(self, request: Request) -> Response:
        """Answer with all outputs in one archive."""
        ride = await self._find(request)
        if not ride.outputs.drawn:
            return _not_drawn()
        content = await run_in_threadpool(ride.outputs.all_of_them)
        return Response(content, headers=_as_file("ride.zip", "attachment"), media_type="application/zip")

    async def _output(self, request: Request, how: str, more: dict[str, str]) -> Response:
        ride, name = await self._find(request), request.path_params["name"]
        kind = next((kind for known, kind in OUTPUTS.items() if known == name), None)
        if kind is None or not ride.outputs.drawn:
            return _not_drawn()
        content = await run_in_threadpool((ride.folder / name).read_bytes)
        return Response(content, headers={**_as_file(name, how), **more}, media_type=kind)


def _not_drawn() -> Response:
    return JSONResponse({"say": "there is no such output yet; have them drawn first"}, 404)


def _as_file(name: str, how: str) -> dict[str, str]:
    return {"Content-Disposition": f'{how}; filename="{name}"'}
