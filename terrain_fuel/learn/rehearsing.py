"""Which of a race's products a training ride should carry, by what the log still misses of each."""

from collections.abc import Sequence

from terrain_fuel.facts import Fact, fact
from terrain_fuel.learn.readiness import readiness_of
from terrain_fuel.log.model import LoggedRide
from terrain_fuel.rehearsal import Trial

TRIABLE = ("at the race's rate", "at a lower rate")


def food_to_try(trials: Sequence[Trial], log: Sequence[LoggedRide]) -> tuple[Fact, ...]:
    """Return what the log says of each product of the race, then which of them to take along.

    Parameters
    ----------
    trials : from `rehearse`: how far the training ride can try each product
    log : rides in order of their start

    Notes
    -----
    Taken are those that are not race-ready yet and that this ride can try, at the race's rate first.
    """
    known = {each.item: each for each in readiness_of(log)}
    said: list[Fact] = []
    for trial in trials:
        found = known.get(trial.item)
        said.append(found.sentence if found is not None else fact("worked_never", item=trial.item))
        if found is not None and not found.is_ready:
            said.append(found.missing)
    wanted = [
        t for t in trials if t.outcome in TRIABLE and (t.item not in known or not known[t.item].is_ready)
    ]
    wanted.sort(key=lambda trial: TRIABLE.index(trial.outcome))
    if wanted:
        said.append(fact("rehearse_take", items=tuple(trial.item for trial in wanted)))
    return tuple(said)
