"""Damage to honest input: bytes lost, doubled and put in, values exchanged for odd ones."""

import copy
from collections.abc import Callable, Sequence
from typing import Any

from hypothesis import strategies as st

ODD_NUMBERS: tuple[Any, ...] = (
    0, 0.0, -0.0, -1, 1, 2, 1e-300, 1e300, 1e308, -1e308, float("inf"), float("nan"), 10**400, 2**63,
    0.1, True, 999_999_999,
)  # fmt: skip
ODD_TEXTS: tuple[str, ...] = (
    "", " ", "\x1b[2J", "\u202egnp", "\x00", "\x85", "\ufeff", "\ud800", "é" * 300, "a" * 3000, "<b>&amp;",
    "{}", "%s",
    "../../x", "nan", "-0", "\U0010ffff", "ß" * 14, "\u0300" * 50, "water",
)  # fmt: skip
ODD_VALUES: tuple[Any, ...] = (*ODD_NUMBERS, *ODD_TEXTS, None, [], {}, [[]], [1], {"a": 1}, [None] * 3)

ODD_BYTES: tuple[bytes, ...] = (
    b"", b"\0", b"\xff\xfe", b"\xef\xbb\xbf", b"\x1b[31m", b"\x9b", b"\r", b"\n\n", b"<", b"</", b"/>",
    b"<!--", b"-->",
    b"<![CDATA[", b"]]>", b"<!DOCTYPE x>", b"&x;", b"&#0;", b"&#xFFFE;",
    b"<?xml version='1.0' encoding='punycode'?>",
    b' lat="91"', b' lat="nan"', b' lon="1e999"', b'lat="', b"<x:y>", b"</x:y>", b"<ele>", b"</ele>",
    b"1e308", b"-",
    b"9" * 400, b"0.000000001", b"<trkseg>", b"</trkseg>", b"<trk>", b"<wpt>", b"=", b"[", b"]", b"[[",
    b"{", b"}", b'"',
    b"'''", b'"""', b"#", b"inf", b"nan", b"1e400", b"2027-13-45", b"\\u0000", b"\\ud800", b",", b".",
    b"true",
    "\u202e".encode(), "\u2028".encode(), b"PK\x03\x04", b"PK\x01\x02", b"PK\x05\x06",
)  # fmt: skip


@st.composite
def damaged_bytes(draw: st.DrawFn, seeds: Sequence[bytes], most: int = 6) -> bytes:
    """Return one of the seeds with up to ``most`` pieces lost, doubled or exchanged."""
    data = draw(st.sampled_from(seeds))
    for _ in range(draw(st.integers(1, most))):
        place = draw(st.integers(0, len(data)))
        lost = draw(st.one_of(st.just(0), st.integers(0, 12), st.integers(0, len(data))))
        come = draw(
            st.one_of(
                st.sampled_from(ODD_BYTES), st.binary(max_size=8), st.just(data[place : place + lost] * 2)
            )
        )
        data = data[:place] + come + data[place + lost :]
    return data[:500_000]


class DamagedPlan:
    """A plan and what was done to it, which alone is shown when it gets in."""

    def __init__(self, plan: Any, done: tuple[str, ...] = ()) -> None:
        self.plan, self.done = plan, done

    def __repr__(self) -> str:
        return f"DamagedPlan{self.done}"


@st.composite
def damaged_plan(draw: st.DrawFn, make: Callable[[], Any], most: int = 3) -> "DamagedPlan":
    """Return a plan with up to ``most`` values exchanged or left out."""
    damaged: Any = make()
    done = []
    for _ in range(draw(st.integers(1, most))):
        inner: Any = damaged
        path = []
        while True:
            keys = list(inner) if isinstance(inner, dict) else range(len(inner))
            if not keys:
                break
            key = draw(st.sampled_from(keys))
            path.append(key)
            deeper = isinstance(inner[key], (dict, list)) and inner[key] and draw(st.integers(0, 4))
            if deeper:
                inner = inner[key]
                continue
            if draw(st.integers(0, 5)):
                inner[key] = copy.deepcopy(draw(st.sampled_from(ODD_VALUES)))
                done.append(f"{path} is {str(inner[key])[:40]!r}")
            else:
                del inner[key]
                done.append(f"{path} is gone")
            break
    return DamagedPlan(damaged, tuple(done))
