"""What the page can ask for after a ride: the recording dropped, the form filled in, what was learned."""

import json
from collections.abc import Awaitable, Callable
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from terrain_fuel.log.rides import read_rides
from terrain_fuel.outputs.data.plan_json import plan_text
from terrain_fuel.page.after_data import after_data, learned_data, learned_edits
from terrain_fuel.page.asked import asked_of, count_of
from terrain_fuel.page.look_back import OUTPUTS
from terrain_fuel.page.ride import Ride
from terrain_fuel.page.table import Table

FindRide = Callable[[Request], Awaitable[Ride]]


class AfterAnswers:
    """The endpoints of one ride's view "After the ride"."""

    def __init__(self, table: Table, find_ride: FindRide) -> None:
        self._table, self._find = table, find_ride

    async def after(self, request: Request) -> Response:
        """Answer with the review, or with nothing where no recording has come yet."""
        return JSONResponse(await run_in_threadpool(_seen, await self._find(request)))

    async def recording(self, request: Request) -> Response:
        """Take the recording in the body; the plan that is shown is the one it was ridden by."""
        body, ride = await request.body(), await self._find(request)
        plan = ride.planned().plan
        await run_in_threadpool(lambda: ride.look_back.take(body, plan_text(plan)))
        return await self._changed(ride)

    async def recording_too(self, request: Request) -> Response:
        """Take a further file of the same ride in the body."""
        body, ride = await request.body(), await self._find(request)
        await run_in_threadpool(ride.look_back.add, body)
        return await self._changed(ride)

    async def fill_in(self, request: Request) -> Response:
        """Keep what the form says."""
        asked, ride = asked_of(await request.body()), await self._find(request)
        await run_in_threadpool(ride.look_back.fill_in, asked)
        return await self._changed(ride)

    async def take_out(self, request: Request) -> Response:
        """Remove the recording, from the log too."""
        ride = await self._find(request)
        await run_in_threadpool(ride.look_back.take_out)
        return await self._changed(ride)

    async def file(self, request: Request) -> Response:
        """Answer with one of the files of the review."""
        ride, name = await self._find(request), request.path_params["name"]
        kind = next((kind for known, kind in OUTPUTS.items() if known == name), None)
        path = ride.look_back.folder / name if kind else None
        if path is None or not path.is_file():
            return JSONResponse({"say": "there is no such file of the ride"}, 404)
        content = await run_in_threadpool(path.read_bytes)
        headers = {"Content-Disposition": f'attachment; filename="{name}"'}
        return Response(content, headers=headers, media_type=kind)

    async def learned(self, request: Request) -> Response:
        """Answer with what the log says of the rider."""
        ride = await self._find(request)

        def look() -> dict[str, Any]:
            return learned_data(read_rides(self._table.log), ride.settings(ride.folder).rider)

        return JSONResponse(await run_in_threadpool(look))

    async def use_learned(self, request: Request) -> Response:
        """Put what was learned into the ride's settings, as one change that can be undone."""
        asked, ride = asked_of(await request.body()), await self._find(request)
        change = count_of(asked.get("change"))

        def use() -> dict[str, Any]:
            rider = ride.settings(ride.folder).rider
            ride.change(learned_edits(read_rides(self._table.log), rider), change, self._table.planner)
            return ride.state()

        state = await run_in_threadpool(use)
        if ride.stale:
            self._table.planner.want(ride)
        ride.bell.ring()
        return JSONResponse(state)

    async def _changed(self, ride: Ride) -> Response:
        ride.bell.ring()
        return JSONResponse(await run_in_threadpool(_seen, ride))


def _seen(ride: Ride) -> dict[str, Any]:
    back = ride.look_back
    if not back.is_there:
        return {"there": False, "count": back.count}
    count = back.count  # before the files are read: what is newer comes again
    seen = json.loads(json.dumps(after_data(*back.seen()), allow_nan=False))
    return {"there": True, "count": count, "of": back.mark, **seen}
