"""Files that are no route: one message, saying where, what, what is allowed and what to do."""

import codecs
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from terrain_fuel.errors import ElevationError, TerrainFuelError, TrackError
from terrain_fuel.inputs.route import read_route
from terrain_fuel.inputs.route_file import read_route_file
from tests.inputs.made_files import gpx_text, points_text, track_text, write_text

GOOD = track_text([(45.0, 7.0, 100), (45.001, 7.0, 101), (45.002, 7.0, 102)])


def message_of(path: Path, kind: type[TerrainFuelError] = TrackError) -> str:
    """Return the message with which a file is refused, checked for the wording of this house."""
    with pytest.raises(kind) as caught:
        read_route(path)
    message = str(caught.value)
    assert caught.value.__cause__ is None
    assert "\n" not in message
    assert path.name in message.split(": ")[0]
    assert ";" in message, "says what to do"
    assert "<string>" not in message, "tells of the file, not of a parser's memory"
    return message


def test_a_missing_file(tmp_path: Path) -> None:
    assert "there is no such file" in message_of(tmp_path / "nowhere.gpx")


def test_a_folder(tmp_path: Path) -> None:
    assert "is a folder, not a file" in message_of(tmp_path)


@pytest.mark.parametrize("data", [b"", b"\n \n", codecs.BOM_UTF8])
def test_an_empty_file(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "empty.gpx"
    path.write_bytes(data)
    assert "the file is empty" in message_of(path)


@pytest.mark.parametrize(
    "data", [b"lat,lon\n45,7\n46,7\n", b"\x00\x01\x02\xff\xfe" * 50, b"%PDF-1.7" + b"\x07" * 99]
)
def test_nothing_that_is_known(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "table.gpx"
    path.write_bytes(data)
    assert "a route is GPX, TCX, FIT, KML or GeoJSON" in message_of(path)


@pytest.mark.parametrize("data", [b"%PDF-1.4\n<< /Type /Page >>\n", b"a < b\nc > d\n"])
def test_a_sign_of_xml_makes_no_xml(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "sheet.gpx"
    path.write_bytes(data)
    assert message_of(path).endswith("; a route is GPX, TCX, FIT, KML or GeoJSON; export the route as GPX")
    path.write_bytes(b"<svg>" + data)
    assert "is XML, but no route; " in message_of(path)


@pytest.mark.parametrize(
    "text",
    [
        "<!DOCTYPE html><html><head><title>Sign in</title></head><body><p>Please<br>wait</body></html>",
        '<html xmlns="http://www.w3.org/1999/xhtml"><body/></html>',
        "\n<!doctype HTML>\n<HTML><body>gpx</body>",
    ],
)
def test_a_web_page(tmp_path: Path, text: str) -> None:
    assert "is a web page" in message_of(write_text(tmp_path, text))


@pytest.mark.parametrize("text", ["<svg><path/></svg>", "<?xml version='1.0'?><rss/>"])
def test_another_format(tmp_path: Path, text: str) -> None:
    assert "file; a route is GPX, TCX, FIT, KML or GeoJSON" in message_of(write_text(tmp_path, text))


@pytest.mark.parametrize("share", [0.2, 0.5, 0.8, 0.99])
def test_a_file_cut_off(tmp_path: Path, share: float) -> None:
    assert "cut off" in message_of(write_text(tmp_path, GOOD[: int(len(GOOD) * share)]))


def test_broken_inside(tmp_path: Path) -> None:
    said = message_of(write_text(tmp_path, GOOD.replace("</trkseg>", "</seg>")))
    assert "line 1 is not well-formed XML" in said
    assert "column" not in said, "the line is told once, in our words"


LAUGHS = "".join(f'<!ENTITY l{i} "{f"&l{i - 1};" * 10}">' for i in range(1, 10))
BOMB = f'<!DOCTYPE gpx [<!ENTITY l0 "lol">{LAUGHS}]>'


@pytest.mark.parametrize("place", ["text", "attribute", "nowhere"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
def test_an_entity_bomb_is_not_lit(tmp_path: Path, place: str, encoding: str) -> None:
    text = GOOD.partition("?>")[2]
    if place == "text":
        text = text.replace("<name>check", "<name>&l9;")
    elif place == "attribute":
        text = text.replace('creator="check"', 'creator="&l9;"')
    path = tmp_path / "bomb.gpx"
    path.write_bytes((f'<?xml version="1.0" encoding="{encoding}"?>' + BOMB + text).encode(encoding))
    assert "document type or entities" in message_of(path)
    # lit, it would take three gigabytes


@pytest.mark.parametrize("comment", ["x " * 50_000, " <gpx > "])
def test_an_entity_bomb_behind_a_comment(tmp_path: Path, comment: str) -> None:
    text = GOOD.replace("?>", f"?><!--{comment}-->{BOMB}", 1).replace("<name>check", "<name>&l9;")
    assert "document type or entities" in message_of(write_text(tmp_path, text))


def test_an_entity_bomb_under_an_encoding_of_disguise(tmp_path: Path) -> None:
    path = tmp_path / "bomb.gpx"
    text = f'<?xml version="1.0" encoding="cp037"?>{BOMB}{GOOD.partition("?>")[2]}'
    path.write_bytes(text.replace("<name>check", "<name>&l9;").encode("cp037"))
    message_of(path)


@pytest.mark.parametrize("name", ["punycode", "unicode_escape", "raw_unicode_escape"])
def test_names_that_python_alone_decodes_by_are_no_encodings(tmp_path: Path, name: str) -> None:
    """What is refused here would be a route; of what is none, one of them takes minutes for a megabyte."""
    path, text = tmp_path / "route.gpx", GOOD.partition("?>")[2]
    head = f'<?xml version="1.0" encoding="{name}"?>'.encode()
    assert text.encode(name).decode(name) == text
    path.write_bytes(head + text.encode(name))
    assert "is not well-formed XML" in message_of(path) or "is cut off" in message_of(path)
    path.write_bytes(head.replace(name.encode(), b"utf-8") + text.encode())
    assert len(read_route(path)[0].lat_deg) == 3


def test_half_a_letter_is_told_without_the_parsers_own_names(tmp_path: Path) -> None:
    said = message_of(write_text(tmp_path, GOOD.replace("<name>check", "<name>&#xD83D;&#xDE00;")))
    assert "is not well-formed XML (invalid xmlChar value 55357)" in said


def test_no_file_and_no_address_is_fetched(tmp_path: Path) -> None:
    secret = write_text(tmp_path, "secret words", "secret.txt")
    doctype = f'<!DOCTYPE gpx [<!ENTITY s SYSTEM "{secret.as_uri()}">]>'
    text = GOOD.replace("?>", "?>" + doctype, 1).replace("<name>check", "<name>&s;")
    assert "secret words" not in message_of(write_text(tmp_path, text))


@pytest.mark.parametrize(
    ("body", "fault"),
    [
        ("", "has no points"),
        ("<trk><trkseg/></trk>", "has no points"),
        ("<wpt lat='45' lon='7'/>", "holds 1 waypoint, no track"),
        (f"<trk><trkseg>{points_text([(45, 7, 1)])}</trkseg></trk>", "has only one point"),
        (
            f"<trk><trkseg>{points_text([(45, 7, 1)] * 3)}</trkseg></trk>",
            "all 3 points are one and the same place",
        ),
    ],
)
def test_too_few_points(tmp_path: Path, body: str, fault: str) -> None:
    assert fault in message_of(write_text(tmp_path, gpx_text(body)))


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ('lat="45.001"', 'lat="91"', "point 2 has latitude '91'; allowed is -90 to 90 degrees"),
        ('lat="45.001"', 'lat="-90.0001"', "point 2 has latitude '-90.0001'"),
        ('lat="45.001"', 'lat="NaN"', "point 2 has latitude 'NaN'"),
        ('lat="45.001"', 'lat="inf"', "point 2 has latitude 'inf'"),
        ('lat="45.001"', 'lat="45,001"', "point 2 has latitude '45,001'"),
        ('lat="45.001"', 'lat=""', "point 2 has latitude ''"),
        ('lat="45.001" ', "", "point 2 has latitude missing"),
        (
            'lat="45.001" lon="7.0"',
            'lat="45.001" lon="181"',
            "point 2 has longitude '181'; allowed is -180 to 180",
        ),
        ('lat="45.001" lon="7.0"', 'lat="0" lon="0"', "point 2 lies 5033 km from the one before"),
        ('lat="45.001" lon="7.0"', 'lat="-45" lon="-173"', "opposite"),
        ("<ele>101</ele>", "<ele>NaN</ele>", "point 2 has height 'NaN'; allowed is -500 to 9000 m"),
        ("<ele>101</ele>", "<ele>12000</ele>", "point 2 has height '12000'"),
        ("<ele>101</ele>", "<ele>-501</ele>", "point 2 has height '-501'"),
        ("<ele>101</ele>", "<ele>high</ele>", "point 2 has height 'high'"),
        ("<trk>", '<wpt lat="95" lon="7"><name>Tap</name></wpt><trk>', "waypoint 'Tap' has lat '95'"),
        ("<trk>", '<wpt lon="7"/><trk>', "waypoint '1' has lat missing"),
    ],
)
def test_impossible_values(tmp_path: Path, old: str, new: str, fault: str) -> None:
    assert old in GOOD
    assert fault in message_of(write_text(tmp_path, GOOD.replace(old, new)))


@given(
    st.lists(
        st.tuples(st.integers(0, 700), st.integers(0, 3), st.binary(max_size=12)), min_size=1, max_size=4
    )
)
@settings(deadline=None, derandomize=True, max_examples=400)
def test_any_damage_gives_a_route_or_one_message(
    tmp_path_factory: pytest.TempPathFactory, damage: list[tuple[int, int, bytes]]
) -> None:
    tap = '<wpt lat="45" lon="7"><name>Tap</name></wpt><trk>'
    data = GOOD.replace("<trk>", tap).encode()
    for place, gone, come in damage:
        data = data[:place] + come + data[place + gone :]
    path = tmp_path_factory.mktemp("damage") / "check.gpx"
    path.write_bytes(data)
    try:
        outcome = f"check.gpx: {read_route(path)[0].lat_deg.size} points"
    except TerrainFuelError as error:  # anything else fails the check
        outcome = str(error)
    assert outcome.startswith("check.gpx: ")
    assert "\n" not in outcome


def test_heights_that_are_void_throughout(tmp_path: Path) -> None:
    points = [(45.0 + i * 0.001, 7.0, -32768) for i in range(5)]
    message = message_of(write_text(tmp_path, track_text(points)), ElevationError)
    assert "no point has a height" in message
    assert "N45E007.hgt" in message


def test_a_large_file_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "large.gpx"
    with path.open("wb") as file:
        file.truncate(300_000_000)  # a hole: no disk, and no time unless it is read
    assert "the file has 300.0 MB; allowed are 64 MB" in message_of(path)


def test_the_size_that_is_allowed_is_a_setting(tmp_path: Path) -> None:
    path = write_text(tmp_path, GOOD)
    size = path.stat().st_size
    assert read_route_file(path, max_bytes=size).lat_deg.size == 3
    with pytest.raises(TrackError, match="the file has"):
        read_route_file(path, max_bytes=size - 1)


@pytest.mark.skipif(not Path("/proc/self/mem").is_file(), reason="needs a file whose reading fails")
def test_a_file_that_cannot_be_read() -> None:
    assert "cannot be read (Input/output error)" in message_of(Path("/proc/self/mem"))
