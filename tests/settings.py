"""Settings of the tests: the product's own, with what a test run needs changed."""

from coordinator.settings import *  # noqa: F403
