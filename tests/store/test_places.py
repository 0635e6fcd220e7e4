"""Where things lie, and a configuration that explains its faults."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskhelper.store.places import Config, ConfigFaults, places, read_config

HOME = Path("/home/ada")


def config(tmp_path: Path, text: str | bytes) -> Path:
    file = tmp_path / "config.toml"
    file.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    return file


def test_places_follow_the_base_directory_specification() -> None:
    found = places({"XDG_DATA_HOME": "/mnt/data", "XDG_CONFIG_HOME": "/etc/ada"}, HOME)

    assert found.record == Path("/mnt/data/riskhelper/record.sqlite")
    assert found.config == Path("/etc/ada/riskhelper/config.toml")
    assert found.logs == HOME / ".local/state/riskhelper/log"


def test_a_relative_or_empty_variable_is_ignored_as_the_specification_demands() -> None:
    # XDG Base Directory Specification: paths in these variables must be absolute, others are to be ignored
    found = places({"XDG_DATA_HOME": "data", "XDG_CONFIG_HOME": ""}, HOME)

    assert found.record == HOME / ".local/share/riskhelper/record.sqlite"
    assert found.config == HOME / ".config/riskhelper/config.toml"


def test_rehearsals_lie_apart_from_real_work() -> None:
    found = places({}, HOME)

    assert found.rehearsal != found.record


def test_a_missing_configuration_is_an_empty_one(tmp_path: Path) -> None:
    assert read_config(tmp_path / "none.toml") == Config()


def test_a_full_configuration_is_read(tmp_path: Path) -> None:
    file = config(
        tmp_path,
        """
        store = "/srv/site/record.sqlite"
        rules = "~/rules"
        local_code = "en50110"
        who = "Ada Quist"
        zone = "Europe/Oslo"
        paper = "Letter"
        [units]
        pressure = "psi"
        length = "ft"
        [header]
        muster_point = "Lay-by"
        [header.emergency_numbers]
        "control room" = "on the board"
        [place]
        latitude_deg = -1.286
        longitude_east_deg = 36.817
        """,
    )

    found = read_config(file)

    assert found.store == Path("/srv/site/record.sqlite")
    assert found.rules == Path("~/rules").expanduser()
    assert (found.local_code, found.who, found.zone, found.paper) == ("en50110", "Ada Quist", "Europe/Oslo", "Letter")
    assert found.units == {"pressure": "psi", "length": "ft"}
    assert found.header == {"muster_point": "Lay-by"}
    assert found.emergency_numbers == (("control room", "on the board"),)
    assert found.place == (-1.286, 36.817)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('pape = "A4"', "key `pape`: not known here; did you mean `paper`?"),
        ('paper = "A5"', "key `paper`: `A5` should be `A4` or `Letter`"),
        ("who = 7", "key `who`: `7` should be text of at most 200 printable characters"),
        ('who = "Ada\\u001b[2J"', "should be text of at most 200 printable characters"),
        ('who = "' + "a" * 300 + '"', "should be text of at most 200 printable characters"),
        ('zone = "Mars/Base"', "key `zone`: `Mars/Base` should be a time zone such as `Europe/Oslo`"),
        ('zone = "../../etc/passwd"', "should be a time zone"),
        ('store = "here.sqlite"', "key `store`: `here.sqlite` should be a path from the root or from `~`"),
        ('[units]\npressure = "ft"', "key `units.pressure`: `ft` should be one of kPa, Pa, mbar, bar, psi, mmHg"),
        ('[units]\npresure = "psi"', "should be a dimension such as `pressure`"),
        ('header = "x"', "key `header`: `x` should be a table"),
        ('[header]\nmuster = "x"', "key `header.muster`: not known here; did you mean `muster_point`?"),
        ("[place]\nlatitude_deg = 91\nlongitude_east_deg = 0", "`91` should be degrees from -90 to 90"),
        ("[place]\nlatitude_deg = 9", "key `place.longitude_east_deg`: `None` should be degrees from -180 to 180"),
        ('[place]\nlatitude = "north"', "key `place.latitude`: not known here; did you mean `latitude_deg`?"),
        ("paper = ", "is not valid TOML in UTF-8"),
        (b'who = "\xff"', "is not valid TOML in UTF-8"),
    ],
)
def test_each_fault_says_where_what_and_what_was_expected(tmp_path: Path, text: str | bytes, words: str) -> None:
    file = config(tmp_path, text)

    with pytest.raises(ConfigFaults) as refused:
        read_config(file)

    assert words in str(refused.value)
    assert str(refused.value).startswith(str(file))


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    with pytest.raises(ConfigFaults) as refused:
        read_config(config(tmp_path, 'paper = "A5"\nzone = 3\nhue = "red"'))

    assert len(refused.value.faults) == 3


def test_a_folder_in_place_of_the_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(ConfigFaults, match="cannot be read"):
        read_config(tmp_path)
