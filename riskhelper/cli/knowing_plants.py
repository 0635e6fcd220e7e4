"""`plants`: what is known of plants from earlier visits, and keeping what a job found."""

from __future__ import annotations

from argparse import Namespace

from riskhelper.acts.context import printable
from riskhelper.acts.job.known_plant import KnownPlants, keep, last_seen
from riskhelper.acts.setting_up import Workplace
from riskhelper.cli.exits import ExitCode


def plants(place: Workplace, given: Namespace) -> ExitCode:
    """Prints the plants, or keeps what a job found."""
    context = place.context()
    known = KnownPlants(context.plants)
    if given.what == "keep":
        file, changed = keep(context, known, given.job)
        print(f"{file}: {len(changed)} answers are new or changed. The next visit confirms them one by one.")
        for question in changed:
            print(f"  {question}")
        return ExitCode.NO_STOP_FOUND
    for name, plant in known.plants.items():
        print(printable(f"{plant.site}, {plant.plant} ({name})"))
        for question, seen in plant.known.items():
            print(printable(f"  {question} = {seen.typed} {seen.unit}".rstrip() + f" ({last_seen(seen)})"))
        for hazard in plant.hazards:
            print(printable(f"  hazard: {hazard.words} ({last_seen(hazard)})"))
    if not known.plants:
        print(f"No plant files in {known.folder}. `riskhelper plants keep --job NUMBER` writes the first.")
    return ExitCode.NO_STOP_FOUND
