"""What stands before all else: whom of a team not to let ride, and who would ride two stages at once."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from terrain_fuel.outputs.words import Words
from terrain_fuel.team.clashes import Clash, find_clashes
from terrain_fuel.team.takings import Takings


@dataclass(frozen=True, slots=True)
class Stops:
    """Sentences by stage, and those about two stages."""

    by_stage: Mapping[str, tuple[str, ...]]
    clashes: tuple[tuple[Clash, str], ...]

    @classmethod
    def of(cls, takings: Sequence[Takings], words: Words) -> "Stops":
        """Return what all plans of a team say."""
        stages = by_stage(takings)
        return cls(
            {stage: tuple(_no_ride(here, words)) for stage, here in stages.items()},
            tuple((each, _clash(each, words)) for each in find_clashes(takings)),
        )

    def everywhere(self) -> tuple[str, ...]:
        """Return all of them, each with its stage."""
        alone = (f"{stage}, {said}" for stage, here in self.by_stage.items() for said in here)
        return (*alone, *(said for _, said in self.clashes))

    def on(self, stage: str) -> tuple[str, ...]:
        """Return those of one stage."""
        return (*self.by_stage[stage], *(said for clash, said in self.clashes if stage in clash.stages))


def by_stage(takings: Iterable[Takings]) -> dict[str, list[Takings]]:
    """Return the plans of each stage, in their order."""
    stages: dict[str, list[Takings]] = {}
    for each in takings:
        stages.setdefault(each.stage, []).append(each)
    return stages


def who_says(said: Iterable[tuple[str, Sequence[str]]]) -> Iterator[tuple[str, list[str]]]:
    """Yield sentences, each with all of whom it is said."""
    found: dict[str, list[str]] = {}
    for rider, sentences in said:
        for sentence in sentences:
            found.setdefault(sentence, []).append(rider)
    yield from found.items()


def _no_ride(here: Sequence[Takings], words: Words) -> Iterator[str]:
    """Yield why whom of one stage not to let ride, the same words once."""
    for sentence, riders in who_says((each.rider, each.no_ride) for each in here):
        who = words.label("team.everybody") if len(riders) == len(here) else ", ".join(riders)
        yield words.label("team.stop", riders=who, sentence=sentence)


def _clash(clash: Clash, words: Words) -> str:
    first, second = clash.first, clash.second
    return words.label(
        "team.clash",
        riders=clash.riders,
        first=first.stage,
        second=second.stage,
        begins=f"{second.date}, {second.start}",
        left_s=first.ends_s - second.begins_s,
    )
