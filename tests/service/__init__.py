"""Tests against real servers."""
