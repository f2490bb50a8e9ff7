"""Tests run in two processes; those in real time one after the other, in one of them."""

import pytest
from xdist.remote import Producer
from xdist.scheduler import LoadScopeScheduling

IN_REAL_TIME = "tests/end_to_end/"


class InRealTimeTogether(LoadScopeScheduling):
    """Whoever is free takes the next test; what runs in real time goes to one process as a whole.

    A marker would say the same (`xdist_group`), but newer versions of pytest pass over it.
    """

    def _split_scope(self, nodeid: str) -> str:
        return IN_REAL_TIME if nodeid.startswith(IN_REAL_TIME) else nodeid


def pytest_xdist_make_scheduler(config: pytest.Config, log: Producer) -> InRealTimeTogether:
    """The order in which processes get their tests."""
    return InRealTimeTogether(config, log)
