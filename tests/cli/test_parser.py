"""What is typed on the command line, in whatever order people type it."""

from __future__ import annotations

import pytest

from riskhelper.cli.parser import read_words

WHO = ("--as", "Ada", "--in-role", "issuer")
WRITTEN = ["reason=too dark", "ends=now"]


@pytest.mark.parametrize(
    "words",
    [
        ("permit", "do", "7/1", "return", *WRITTEN, *WHO),
        ("permit", "do", "7/1", "return", *WHO, *WRITTEN),
        ("permit", "do", *WHO, "7/1", "return", *WRITTEN),
        ("permit", "do", "7/1", "return", WRITTEN[0], *WHO, WRITTEN[1]),
    ],
)
def test_what_is_written_with_an_act_may_stand_before_and_after_the_options(words: tuple[str, ...]) -> None:
    given = read_words(words)

    assert (given.number, given.act, given.details, given.name) == ("7/1", "return", WRITTEN, "Ada")


@pytest.mark.parametrize(
    "words",
    [
        ("permit", "do", "7/1", "return", *WHO, "too dark"),
        ("permit", "list", "a=b"),
        ("assess", "x.toml", "--no=such"),
    ],
)
def test_what_no_command_knows_is_refused(words: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        read_words(words)

    assert words[-1] in capsys.readouterr().err
