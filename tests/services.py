"""Tests that need a program or a package beside Python: they skip, with the reason, where it is
absent.

Under CI (CI=true in the environment) nothing may skip: there the test runs, and fails.
"""

import importlib.util
import os
import shutil

import pytest


def needs(*programs: str) -> list[pytest.MarkDecorator]:
    """Marks for a test, or a module's `pytestmark`, that needs these programs."""
    missing = [program for program in programs if shutil.which(program) is None]
    reason = f"not installed: {', '.join(missing)}"
    absent = bool(missing) and os.environ.get("CI") != "true"
    return [pytest.mark.service, pytest.mark.skipif(absent, reason=reason)]


def needs_package(*packages: str) -> pytest.MarkDecorator:
    """A mark for tests that need packages which are only for them."""
    missing = [package for package in packages if importlib.util.find_spec(package) is None]
    reason = f"not installed: {', '.join(missing)}"
    return pytest.mark.skipif(bool(missing) and os.environ.get("CI") != "true", reason=reason)
