"""The plugin of forms: what it hands over, and that no heavy library is loaded for it."""

from __future__ import annotations

import subprocess
import sys

from partmuster.host import load_plugins
from partmuster.plugin_api import Publisher
from partmuster_plugins import publishers


def test_every_form_has_a_name_of_its_own():
    host = load_plugins([publishers], outside=False)
    assert host.failures == []
    names = [one.name for one in host.publishers]
    assert {"page", "pdf"} <= set(names)
    assert len(names) == len(set(names))
    assert all(isinstance(one, Publisher) and one.version for one in host.publishers)


def test_heavy_libraries_are_loaded_only_to_publish():
    heavy = {"jinja2", "reportlab", "ttf_opensans", "xlsxwriter", "polars"}
    code = f"import sys, partmuster_plugins.publishers; print({heavy!r} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"
