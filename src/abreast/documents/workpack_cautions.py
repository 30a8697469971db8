"""Cautions of the work pack, in the spirit of docs/cautions.md: read before the first lift."""

from __future__ import annotations

__all__ = ["CAUTIONS", "Caution"]

Caution = tuple[str, tuple[str, ...]]
"""A heading and its points."""

CAUTIONS: tuple[Caution, ...] = (
    (
        "Who decides",
        (
            "This pack advises. The person in charge of the operation decides and stays in charge.",
            "The rules of the site and of the country, each component's own manual and data sheet,"
            " and the judgement of licensed and competent people come before this pack. Where they"
            " differ from it, they are right.",
            "'ok' means that one question was computed from the inputs shown. It says nothing about"
            " questions that were not asked. 'Not checked' is not a pass.",
        ),
    ),
    (
        "Suspended loads",
        (
            "Nobody stands, walks or reaches under a suspended load, or between two of them, unless"
            " the lift plan of the site allows it for that step and names the holders.",
            "The weakest link counts: clamp, insert, bails, sling, thread, lifting sub, plate."
            " Ratings come from certificates, not from this pack.",
            "A load printed here is computed. Compare it with the indicator before a holder is"
            " opened; when they differ, stop.",
            "A safety clamp is no holder. Flush pipe gives an elevator nothing to catch. A lifting"
            " clamp fits one neck diameter: check its insert on the piece.",
        ),
    ),
    (
        "Pinch points between the strings",
        (
            "The gap between the strings is a few millimetres and closes without warning when a"
            " string turns, swings or is lowered. Keep hands out of it while anything moves.",
            "Turning the union by a part of a turn moves a large load once the frame is closed."
            " Follow the maker's procedure.",
        ),
    ),
    (
        "Dropped objects",
        (
            "Tie off hand tools. Cover both strings and the hole whenever they stand open.",
            "Count lifting subs, protectors, bolts and clips: out equals in before anything is"
            " lowered past the plate.",
        ),
    ),
    (
        "Pressure",
        (
            "The well is dead and watched, and who does what if it flows is settled for every step."
            " On two strings with a cable between them, rams do not seal. This pack plans no well"
            " control and proves no barrier.",
            "Pressure can be trapped below a plug, in a closed pump or behind a check valve."
            " Equalise and bleed as the equipment's own procedure says before anything is opened.",
            "Test pressures, directions and limits come from the equipment's sheets and the site's"
            " programme.",
        ),
    ),
    (
        "High voltage",
        (
            "A motor that turns is a generator: flow through the pump puts voltage on the cable"
            " with the supply off. Work on the cable follows the site's isolation procedure and is"
            " done by people licensed for it.",
            "Insulation tests use voltages that kill. Discharge after each test. Where a gauge is"
            " on the motor, test only as the gauge's own procedure allows.",
        ),
    ),
    (
        "This paper",
        (
            "A sheet is good only with the plan whose fingerprint it carries. After a re-space,"
            " collect and destroy the old sheets.",
            "What was not measured or recorded stays blank. Do not fill a blank from memory.",
        ),
    ),
)
