"""What a language's catalogue holds."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Language:
    """All texts of one language.

    Parameters
    ----------
    code : as in the rider's habit ``language``, and in a page's ``lang``: ISO 639-1
    decimal_mark : "." or ","
    road_marks : what stands before a place along the road, by the unit of length
    sentences : template of every fact by its code
    labels : fixed texts of the outputs by their key
    panels : sentences that name files and their keys, as they are said where both are panels and fields
    kitchen : what the things of the usual kitchen are called, by the names and short names that they have in
        English; empty where they keep these
    meanings : what settings mean, by table and key; one that is missing says it in its own words, English
    """

    code: str
    decimal_mark: str
    road_marks: Mapping[str, str]
    sentences: Mapping[str, str]
    labels: Mapping[str, str]
    panels: Mapping[str, str] = field(default_factory=dict)
    kitchen: Mapping[str, str] = field(default_factory=dict)
    meanings: Mapping[str, str] = field(default_factory=dict)
