"""The German words of the shipped set: complete, with the figures of the base text, and German throughout.

The forbidden and the vague words are those of the base set's tests in German (`sicher` promises what nobody can);
bounds of length are ours, as for the base set.
"""

from __future__ import annotations

import ast
import re
import tomllib
from collections import Counter
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

import riskhelper
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules
from riskhelper.ruleset.spoken_forms import gaps_in
from tests.content.shipped import files, rules

WORDS = tomllib.loads(files()["words/de.toml"].decode())
CODES = tuple(
    sorted(name.removeprefix("local/").removesuffix(".toml") for name in files() if name.startswith("local/"))
)
KEYS = {
    "question": ("ask", "why", "if_unknown", "can_change", "worse"),
    "stop": ("title", "because", "act"),
    "hazard": ("title", "who", "harm"),
}
ENGLISH = re.compile(
    r"\b("
    "the|and|of|is|are|were|has|have|had|be|been|by|or|on|at|to|not|with|for|you|your|it|its|this|that|these|"
    "those|from|what|who|whom|when|where|which|how|why|because|until|before|after|while|then|there|here|they|them|"
    "their|ask|read|look|call|keep|leave|take|stop|wait|nobody|anybody|somebody|everybody|nothing|something|valve|"
    "oil|work|worker|plant|owner|issuer|box|cover|head|state|live|dead|shut|open|number|time"
    r")\b",
    re.IGNORECASE,
)
"""Common English words that are no German ones."""
FORBIDDEN = re.compile(
    r"\b(un)?sicher(e|en|er|es|em|heit|lich|stellen)?\b|\bSicherheits?|gefahrlos|ungefährlich|garantier|risikofrei",
    re.IGNORECASE,
)
VAGUE = re.compile(
    r"\b(angemessen|geeignet|ausreichend|hinreichend|sorgfältig|vorsichtig|gegebenenfalls|sachgemäß|ordnungsgemäß)"
    r"(e|en|er|es|em)?\b|\bnach Bedarf\b|\bbei Bedarf\b|\bwenn nötig\b|\b(wenn|soweit) möglich\b|\bachten Sie\b",
    re.IGNORECASE,
)


@cache
def german(code: str = "en50110") -> RuleSet:
    """The shipped set in German under a local code."""
    return load_rules(files(), code, prove_guards=False, language="de")


def pairs() -> Iterator[tuple[str, str, str]]:
    """Every text of the base set that has words in German: where, base, German."""
    base = rules()
    for kind, keys in KEYS.items():
        entries = {"question": base.questions, "stop": base.stops, "hazard": base.hazards}[kind]
        for name, entry in entries.items():
            subject, _, own = name.partition(".")
            words = WORDS[kind][subject][own]
            for key in keys:
                yield f"{kind} {name}.{key}", getattr(entry, key), words.get(key, "")
            for table in ("options", "says") if kind == "question" else ():
                for option, text in getattr(entry, table).items():
                    yield f"{kind} {name}.{table}.{option}", text, words[table][option]
    for point in base.head.hold_points:
        words = WORDS["hold_point"][point.id]
        yield f"hold point {point.id}.words", point.words, words["words"]
        yield f"hold point {point.id}.text", point.text, words["text"]


PAIRS = {where: (base, other) for where, base, other in pairs()}
SAID: dict[str, str] = WORDS["said"]
GERMAN = {**{where: other for where, (_, other) in PAIRS.items()}, **SAID}


@pytest.mark.parametrize("code", CODES)
def test_it_loads_under_every_local_code_and_says_that_nobody_has_reviewed_it(code: str) -> None:
    translation = german(code).translation

    assert translation is not None
    assert translation.language == "de"
    assert translation.named.endswith("not reviewed")


@pytest.mark.parametrize("where", PAIRS)
def test_it_says_something_exactly_where_the_base_set_does(where: str) -> None:
    base, other = PAIRS[where]

    assert bool(base) == bool(other)


@pytest.mark.parametrize("where", PAIRS)
def test_every_figure_of_the_base_text_stands_in_it_and_no_other(where: str) -> None:
    base, other = PAIRS[where]

    assert figures(other) == figures(base)


@pytest.mark.parametrize("words", SAID)
def test_every_figure_of_a_fixed_sentence_stands_in_it(words: str) -> None:
    assert figures(SAID[words]) == figures(words)


def figures(words: str) -> Counter[str]:
    return Counter(re.findall(r"\d+(?:\.\d+)?", words))


@pytest.mark.parametrize("where", GERMAN)
def test_no_english_is_left_over(where: str) -> None:
    assert not ENGLISH.search(re.sub(r"\{\w*\}", "", GERMAN[where]))


@pytest.mark.parametrize("where", GERMAN)
def test_it_promises_nothing_and_leaves_no_judgement_to_a_vague_word(where: str) -> None:
    assert not FORBIDDEN.search(GERMAN[where])
    assert not VAGUE.search(GERMAN[where])


@pytest.mark.parametrize(("words", "found"), [("Das ist sicher.", 1), ("gegen Wiedereinschalten sichern", 0)])
def test_to_secure_is_an_act_of_the_trade_and_no_promise(words: str, found: int) -> None:
    """DIN VDE 0105-100, the second of the five rules: secure against switching on again."""
    assert len(FORBIDDEN.findall(words)) == found


@pytest.mark.parametrize("where", PAIRS)
def test_no_sentence_is_longer_than_a_breath(where: str) -> None:
    sentences = re.split(r"(?<=[.?!:;])\s+", PAIRS[where][1])

    assert max(len(sentence.split()) for sentence in sentences) <= 22


@pytest.mark.parametrize("name", [name for name, question in rules().questions.items() if question.options])
def test_an_answer_on_a_key_is_short_without_a_full_stop_and_unlike_its_neighbours(name: str) -> None:
    words = list(german().questions[name].options.values())

    assert len(set(words)) == len(words)
    assert not [w for w in words if w.endswith((".", "?", "!")) or len(w.split()) > 11]
    assert not [w for w in words if w.lower() in {"ja", "nein", "keine", "unbekannt", "weiß nicht"}]


@pytest.mark.parametrize("name", rules().questions)
def test_a_question_asks_and_speaks_to_the_person(name: str) -> None:
    question = german().questions[name]

    assert "?" in question.ask
    assert question.why.endswith(".")
    assert not re.search(r"\b(du|dein|deine|dir|dich)\b", f"{question.ask} {question.if_unknown}")
    # An act in the world, spoken to the person, or what counts until somebody knows.
    assert re.search(r"\bSie\b|\bHalt\.", question.if_unknown)


@pytest.mark.parametrize("words", SAID)
def test_a_fixed_sentence_is_one_that_the_program_says(words: str) -> None:
    """A sentence that was reworded in the program would stay English unnoticed.

    Most of its neighbouring words must stand side by side in the program: some sentences are put together there.
    """
    pieces = [words_of(piece) for piece in re.split(r"\{(?:said|number)?\}", words)]
    neighbours = [pair for piece in pieces for pair in pairwise(piece)]
    told = neighbours_told()

    assert gaps_in(words) == gaps_in(SAID[words])
    assert sum(pair not in told for pair in neighbours) <= max(2, 0.4 * len(neighbours))


def words_of(text: str) -> list[str]:
    return re.findall(r"[a-z0-9-]+", text.lower())


@cache
def neighbours_told() -> frozenset[tuple[str, str]]:
    """Words that stand side by side in a text constant of the program or in the base set."""
    texts = [data.decode() for name, data in files().items() if not name.startswith("words/")]
    for path in sorted(Path(riskhelper.__file__).parent.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        texts += [n.value for n in ast.walk(tree) if isinstance(n, ast.Constant) and isinstance(n.value, str)]
    return frozenset(pair for text in texts for pair in pairwise(words_of(text)))
