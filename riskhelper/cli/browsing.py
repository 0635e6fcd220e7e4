"""`open-in-browser`: the interface for a browser on this machine, or on the site's network."""

from __future__ import annotations

import shlex
import sys
from argparse import Namespace
from importlib import import_module
from importlib.util import find_spec

from riskhelper.acts.context import Refused
from riskhelper.acts.setting_up import Workplace
from riskhelper.cli.exits import ExitCode

BROWSER = "riskhelper.browser"


def open_in_browser(place: Workplace, given: Namespace) -> ExitCode:
    """Offers the interface until it is interrupted."""
    if find_spec("textual_serve") is None:
        raise Refused("The browser needs a further package. Install it: pip install 'riskhelper[web]'")
    address = import_module(f"{BROWSER}.address").Address(given.address, given.port, given.certificate, given.key)
    interface = f"{shlex.quote(sys.executable)} -m {place.command}"
    import_module(BROWSER).serve(interface, address)
    return ExitCode.NO_STOP_FOUND
