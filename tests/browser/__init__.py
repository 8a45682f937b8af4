"""Tests in Chromium."""
