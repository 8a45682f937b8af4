"""Spreadsheets as people keep them: octets in, judged rows out, and rows out as a file again.

Pure: no database, no clock, no settings.
"""
