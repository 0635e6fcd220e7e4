"""A translation changes what is read and nothing that is decided; it covers every id or is refused."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping

import pytest

from riskhelper.assessment.assess import assess
from riskhelper.evidence import Answer, Job
from riskhelper.ruleset.faults import RuleFaults
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules
from tests.content.shipped import NOW
from tests.ruleset.test_bad_files import GOOD, SUPPLEMENT

PLAIN = load_rules(GOOD, "dale")
HEAD = '[words]\nlanguage = "xx"\ntitle = "Xish"\nnumber = 1\n'


def words(
    head: str = HEAD, rules: RuleSet = PLAIN, leave_out: str = "", said: Mapping[str, str] | None = None
) -> bytes:
    """A translation in which every text is its base text turned round."""
    lines = [head]
    for name, question in rules.questions.items():
        lines.append(f'[question.{name}]\nask = "{question.ask[::-1]}"\nwhy = "x"\nif_unknown = "x"')
        options = ", ".join(f'{option} = "X {option}"' for option in question.options)
        says = ", ".join(f'{key} = "x"' for key in question.says)
        lines.append(f"options = {{ {options} }}\nsays = {{ {says} }}")
    for name in rules.stops:
        lines.append(f'[stop.{name}]\ntitle = "X {name}"\nbecause = "x"\nact = "x"')
    for name in rules.hazards:
        lines.append(f'[hazard.{name}]\ntitle = "X {name}"\nwho = "x"\nharm = "x"')
    for name in rules.hold_points:
        lines.append(f'[hold_point.{name}]\nwords = "X {name}"\ntext = "x"')
    lines.append("[said]")
    lines += [f'"{key}" = "{value}"' for key, value in (said or {}).items()]
    kept = "\n".join(lines).split("[")
    return "[".join(part for part in kept if not leave_out or not part.startswith(leave_out)).encode()


def read_in(data: bytes, *supplements: Mapping[str, bytes]) -> RuleSet:
    return load_rules({**GOOD, "words/xx.toml": data}, "dale", supplements, language="xx")


def test_the_words_change_and_the_decision_and_the_digest_do_not() -> None:
    translated = read_in(words())
    answers = {"mill.state": Answer("wood"), "mill.head_m": Answer(9.0)}
    job = Job(answers={q: a for q, a in answers.items() if q in PLAIN.questions}, local_code="dale")

    was, now = assess(PLAIN, job, "gate", NOW), assess(translated, job, "gate", NOW)

    assert now.verdict is was.verdict
    assert [stop.id for stop in now.stops] == [stop.id for stop in was.stops]
    assert [(h.id, h.as_planned) for h in now.hazards] == [(h.id, h.as_planned) for h in was.hazards]
    assert translated.parts == PLAIN.parts
    first = next(iter(PLAIN.questions))
    assert translated.questions[first].ask == PLAIN.questions[first].ask[::-1]


def test_a_set_that_carries_a_translation_has_the_digest_it_had_without() -> None:
    assert load_rules({**GOOD, "words/xx.toml": b"anything"}, "dale").parts == PLAIN.parts


def test_until_it_is_reviewed_a_stop_stands_in_both_languages() -> None:
    name, stop = next(iter(PLAIN.stops.items()))
    reviewed = HEAD + 'reviewed_by = "R. Lind"\nreviewed_on = 2031-02-03\n'

    assert read_in(words()).stops[name].title == f"X {name} / {stop.title}"
    assert read_in(words(reviewed)).stops[name].title == f"X {name}"


def test_it_is_named_with_its_own_digest_and_its_review() -> None:
    data = words()
    translated = read_in(data).translation

    assert translated is not None
    assert translated.named == f"Xish no. 1 ({hashlib.sha256(data).hexdigest()[:8]}), not reviewed"


@pytest.mark.parametrize("kind", ["question", "stop", "hazard", "hold_point"])
def test_what_has_no_words_is_named(kind: str) -> None:
    table = {
        "question": PLAIN.questions,
        "stop": PLAIN.stops,
        "hazard": PLAIN.hazards,
        "hold_point": PLAIN.hold_points,
    }
    name = next(iter(table[kind]))

    with pytest.raises(RuleFaults) as raised:
        read_in(words(leave_out=f"{kind}.{name}]"))

    assert any(f"{kind}.{name}" in str(f) and "no words" in str(f) for f in raised.value.faults)


@pytest.mark.parametrize(
    ("extra", "told"),
    [
        ('[stop.mill.nowhere]\ntitle = "x"\nbecause = "x"\nact = "x"\n', "there is no stop `mill.nowhere`"),
        ('[hold_point.nowhere]\nwords = "x"\ntext = "x"\n', "is no hold point of the rules"),
        ("[limits]\n", "unknown table"),
    ],
)
def test_what_belongs_to_nothing_is_told_with_its_place(extra: str, told: str) -> None:
    with pytest.raises(RuleFaults) as raised:
        read_in(words(HEAD + extra))

    assert [str(fault) for fault in raised.value.faults if told in str(fault) and "words/xx.toml, line" in str(fault)]


def test_an_option_without_words_and_one_too_many_are_told() -> None:
    name = next(n for n, question in PLAIN.questions.items() if question.options)
    option = next(iter(PLAIN.questions[name].options))

    with pytest.raises(RuleFaults) as raised:
        read_in(words().replace(f'{option} = "X {option}"'.encode(), b'other_one = "X"'))

    told = "\n".join(str(fault) for fault in raised.value.faults)
    assert f"lacks `{option}`" in told
    assert "is not in the rules" in told


def test_what_a_supplement_adds_stays_in_its_language_and_is_marked() -> None:
    added = b'[stop.extra.x]\ntitle = "Crane over the yard"\nstops_if = "mill.high"\nlifted_by = "issuer"\n'
    added += b'because = "It swings."\nact = "Wait."\n'

    rules = read_in(words(said={"not translated": "xnot"}), {"head.toml": SUPPLEMENT, "extra.toml": added})

    assert rules.stops["extra.x"].title == "Crane over the yard (xnot)"


def test_an_unknown_language_names_those_that_are_there() -> None:
    with pytest.raises(RuleFaults, match="no such translation"):
        load_rules({**GOOD, "words/xx.toml": words()}, "dale", language="yy")


SAID = {
    "Why: {}": "Xwhy: {}",
    "Stop: {said}": "Xstop: {said}",
    "Why": "Xwhy",
    "{} of about {}": "{} xof {}",
    "{number} days": "{number} xdays",
}


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ("Why", "Xwhy"),
        ("Why: Why", "Xwhy: Why"),
        ("Stop: Why", "Xstop: Xwhy"),
        ("3 of about 90", "3 xof 90"),
        ("Whyever", "Whyever"),
        ("3 days", "3 xdays"),
        ("Wait some days", "Wait some days"),
    ],
)
def test_a_sentence_with_gaps_keeps_what_stands_in_them_or_says_it_too(told: str, said: str) -> None:
    translation = read_in(words(said=SAID)).translation

    assert translation is not None
    assert translation.say(told) == said


def test_a_sentence_that_loses_a_gap_is_told_with_its_place() -> None:
    with pytest.raises(RuleFaults, match=r"words/xx\.toml, line \d+.*must hold the gaps \{\}"):
        read_in(words(said={"Why: {}": "Xwhy"}))
