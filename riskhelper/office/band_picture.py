"""Jobs by their worst band before and after, drawn in characters: two bars for each band."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

BEFORE, AFTER = "░", "█"
LEAST_WIDTH = 40
_FEW = "▏"  # some, but too few for a whole mark


def band_picture(bands: Mapping[tuple[str, str], int], order: Sequence[str], width: int = 78) -> list[str]:
    """Lines of at most `width` characters: for each band, mildest first, how many jobs before and after.

    `bands` counts jobs by worst band before and after, `order` names the bands, mildest first.
    """
    total = sum(bands.values())
    if not total:
        return ["No job was replayed."]
    before = {name: sum(n for (one, _), n in bands.items() if one == name) for name in order}
    after = {name: sum(n for (_, other), n in bands.items() if other == name) for name in order}
    most = max(*before.values(), *after.values(), 1)
    names = max(len(name) for name in order)
    digits = len(f"{total:,}")
    room = max(width, LEAST_WIDTH) - names - digits - 12
    lines = [f"Jobs by their worst band, {total:,} in all. {BEFORE} before, {AFTER} after."]
    for name in order:
        if before[name] or after[name]:
            for word, mark, count in (("before", BEFORE, before[name]), ("after", AFTER, after[name])):
                bar = mark * round(room * count / most) or (_FEW if count else "")
                label = name if word == "before" else ""
                lines.append(f"{label:<{names}}  {word:<6}  {count:>{digits},}  {bar}".rstrip())
    return lines
