"""Every bad rule file under `bad/` gets the message its head asks for, and no other.

Head of a bad file: `# file: NAME` replaces that file of the good set (otherwise `extra.toml` is added to it),
`# supplement` lays it on the good set as a supplement, `# local: CODE` chooses another local code. Each `# says:`
stands for one fault and holds the words its message must have, with bars between.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from riskhelper.ruleset.faults import RuleFaults
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules
from riskhelper.ruleset.toml_places import MOST_BYTES

HERE = Path(__file__).parent
GOOD = {path.relative_to(HERE / "good").as_posix(): path.read_bytes() for path in (HERE / "good").rglob("*.toml")}
BAD = sorted((HERE / "bad").glob("*.toml"))
SUPPLEMENT = b'[supplement]\nname = "site"\nnumber = 1\nlanguage = 1\n'


def head_of(file: Path) -> tuple[dict[str, str], list[list[str]]]:
    settings: dict[str, str] = {}
    says: list[list[str]] = []
    for line in file.read_text(encoding="utf-8").splitlines():
        if not line.startswith("# "):
            break
        key, _, value = line.removeprefix("# ").partition(":")
        if key == "says":
            says.append([words.strip() for words in value.split(" | ")])
        else:
            settings[key] = value.strip()
    return settings, says


def loaded(file: Path) -> RuleSet:
    settings, _ = head_of(file)
    content = file.read_bytes()
    code = settings.get("local", "dale")
    if "supplement" in settings:
        head = {} if b"\n[supplement]" in content else {"head.toml": SUPPLEMENT}
        return load_rules(GOOD, code, [{"extra.toml": content, **head}])
    return load_rules({**GOOD, settings.get("file", "extra.toml"): content}, code)


def faults_of(files: dict[str, bytes]) -> list[str]:
    with pytest.raises(RuleFaults) as raised:
        load_rules(files, "dale")
    return [str(fault) for fault in raised.value.faults]


def test_the_good_set_loads_under_its_code_under_none_and_with_a_supplement() -> None:
    for code, supplements in (("dale", ()), ("", ()), ("dale", [{"head.toml": SUPPLEMENT}])):
        rules = load_rules(GOOD, code, supplements)

        assert len(rules.questions) == 7


@pytest.mark.parametrize("file", BAD, ids=lambda path: path.stem)
def test_a_bad_file_is_told_in_the_words_it_asks_for_and_in_no_others(file: Path) -> None:
    _, says = head_of(file)

    with pytest.raises(RuleFaults) as raised:
        loaded(file)
    told = [str(fault) for fault in raised.value.faults]

    for words in says:
        assert any(all(word in message for word in words) for message in told), "\n".join(told)
    assert len(told) == len(says), "\n".join(told)


def test_every_bad_file_asks_for_words() -> None:
    assert len(BAD) > 100
    assert [file.name for file in BAD if not head_of(file)[1]] == []


def test_text_that_is_not_utf_8_is_told_with_its_line() -> None:
    assert faults_of({**GOOD, "extra.toml": b'[[kit]]\nitem = "Gr\xfc\xdfe"\n'}) == [
        "extra.toml, line 2: is not UTF-8 text; save it as UTF-8"
    ]


def test_a_byte_order_mark_is_told() -> None:
    assert faults_of({**GOOD, "extra.toml": b"\xef\xbb\xbf[[kit]]\nitem = 'rope'\n"}) == [
        "extra.toml, line 1: begins with a byte order mark; save it as UTF-8 without one"
    ]


def test_a_file_of_3_mb_is_refused_unread() -> None:
    assert faults_of({**GOOD, "extra.toml": b"#" * 3_000_000}) == [
        f"extra.toml: has 3000000 bytes; a rule file has at most {MOST_BYTES}; split it by subject"
    ]


def test_lists_nested_without_end_are_told_and_do_not_break_the_reader() -> None:
    [told] = faults_of({**GOOD, "extra.toml": b"x = " + b"[" * 100_000})

    assert told == "extra.toml: is not valid TOML: it is nested too deeply; mend it and load again"


def test_every_missing_frame_is_told_at_once_and_rules_are_still_checked() -> None:
    files = {name: content for name, content in GOOD.items() if name not in ("ruleset.toml", "matrix.toml")}
    told = faults_of({**files, "extra.toml": b'[fact.extra.x]\nis = "mill.hihg"\n'})

    assert told == [
        "extra.toml, line 2, `fact.extra.x`, key `is`: unknown name `mill.hihg`; did you mean `mill.high`?",
        "rules, `credit`: no file holds the table [credit]; a rule set needs it",
        "rules, `matrix`: no file holds the table [matrix]; a rule set needs it",
        "rules, `ruleset`: no file holds the table [ruleset]; a rule set needs it",
    ]


def test_an_entry_with_a_fault_is_not_called_unknown_by_what_reads_it() -> None:
    bad = GOOD["mill.toml"].replace(b'type = "choice"', b'type = "choise"')

    assert faults_of({**GOOD, "mill.toml": bad}) == [
        "mill.toml, line 13, `question.mill.state`, key `type`: `choise` is not one of yes_no, choice, several,"
        " number, text; did you mean `choice`?"
    ]
