"""The command line: parse, call one action, print, and turn faults into one sentence."""

from abreast.cli.app import main

__all__ = ["main"]
