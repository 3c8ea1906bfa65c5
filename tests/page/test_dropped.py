"""What is dropped where a route belongs: what is wrong with it, in the language the browser asks for."""

import json

import pytest

from tests.inputs.made_files import gpx_text, northward, track_text
from tests.page.opened import Opened

FILE_WORDS = ("route.gpx", ".toml", "[", "_", "--")
"""What stands in files and on the command line; the visitor has named none of it."""

HILL = [(lat, lon, 100.5 + i) for i, (lat, lon, _) in enumerate(northward(40))]
FAR = [(lat + 1.0 * (i > 30), lon, height) for i, (lat, lon, height) in enumerate(HILL)]
AIR = [(lat + 0.06 * (i > 30), lon, height) for i, (lat, lon, height) in enumerate(HILL)]
PLACES = gpx_text('<wpt lat="45.1" lon="7.5"/>')
KML = "<kml><Placemark><LineString><coordinates>7,5,45,1,100</coordinates></LineString></Placemark></kml>"
DROPPED: dict[str, tuple[bytes, str, str]] = {
    "a PDF": (b"%PDF-1.7\n", "keine Route, die sich lesen lässt", "no route that can be read"),
    "settings": (b"[rider]\nftp_w = 250\n", "keine Route, die", "no route that can be read"),
    "a plan": (b'{"format": "terrain-fuel plan"}', "keine Route, die", "no route that can be read"),
    "JSON": (b'{"type": 7}', "keine Route, die", "no route that can be read"),
    "a web page": (b"<html><body/></html>", "keine Route, die", "no route that can be read"),
    "another format": (b"<rss/>", "keine Route, die", "no route that can be read"),
    "nothing": (b"", "ist leer", "is empty"),
    "a comma": (
        track_text(HILL).replace("110.5", "110,5").encode(),
        "Punkt 11 hat 110,5",
        "Point 11 has 110,5",
    ),
    "a height": (track_text(HILL).replace("110.5", "99999").encode(), "die Datei 99999", "file says 99999"),
    "no latitude": (track_text(HILL).replace('lat="45.1"', "").encode(), "die Datei ?", "file says ?"),
    "KML": (KML.encode(), "nennt 7,5,45,1,100, wo ein Ort", "says 7,5,45,1,100 where a place"),
    "a place": (PLACES.replace("45.1", "north").encode(), "nennt north, wo", "says north where a place"),
    "places": (PLACES.encode(), "sind Orte (1) und keine Linie", "holds places (1) and no line"),
    "a point": (track_text(HILL[:1]).encode(), "oder es ist nur einer", "or there is only one"),
    "a spot": (track_text(HILL[:1] * 9).encode(), "ein und derselbe Ort", "one and the same place"),
    "a leap": (track_text(FAR).encode(), "Punkt 32 liegt 111", "Point 32 lies 111"),
    "air": (track_text(AIR).encode(), "Bis Punkt 32 sind es 6,8 km", "Up to point 32 there are 6.8 km"),
    "a torn archive": (b"PK\x03\x04" + b"x" * 40, "beschädigt oder abgeschnitten", "damaged or cut off"),
}
"""What is dropped where a route belongs, and what is said of it in German and in English."""


@pytest.mark.parametrize("what", DROPPED)
def test_what_is_no_route_is_said_in_the_visitors_language(opened: Opened, what: str) -> None:
    data, *said = DROPPED[what]
    for language, words in zip(("de", "en"), said, strict=True):
        kind = "application/octet-stream"
        status, _, answer = opened.ask("/rides", "POST", data, Content_Type=kind, Accept_Language=language)
        told = json.loads(answer)["say"]
        assert status == 400
        assert words in told
        assert [word for word in FILE_WORDS if word in told] == []
