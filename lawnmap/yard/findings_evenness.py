"""The kinds of finding that the evenness room may raise."""

from __future__ import annotations

from typing import Final

from lawnmap.yard.finding import FindingKind

EVENNESS: Final[dict[str, FindingKind]] = {
    "lanes-too-far-apart": FindingKind(
        "With this throw and this spacing the rate varies more from lane to lane than the limit allows.",
        "Lay the lanes closer, or measure the throw with trays.",
        mended=False,
        example="Lanes at 12 ft with a spreader that throws 10 ft.",
    ),
    "material-off-lawn": FindingKind(
        "More than one part in a hundred lands on paving, buildings or water.",
        "Use a side shield on the headland loops, and sweep up what lands on hard ground.",
        mended=False,
        example="A rotary spreader walked along the edge of a drive, shield up.",
    ),
    "material-near-water": FindingKind(
        "Some of the material lands within the setback of water.",
        "Keep fertilizer out of the strip: shut the gate there, or use a shield or a drop spreader.",
        mended=False,
        example="A lane along a pond, five feet from the bank.",
    ),
    "throw-off-centre": FindingKind(
        "The throw lies more to one side of the walking line than to the other.",
        "Adjust the spreader's drop point, or walk round and round so that every lane errs alike.",
        mended=False,
        example="Trays on the right hold half as much again as those on the left.",
    ),
    "few-runs": FindingKind(
        "A catch test rests on fewer than three runs.",
        "Run the spreader over the trays three times and give all three.",
        mended=False,
        example="One run over one row of trays.",
    ),
    "trays-uneven": FindingKind(
        "Runs of one catch test differ by more than a tenth.",
        "Keep the speed and the setting alike and repeat the test.",
        mended=False,
        example="A second run caught a quarter more than the first.",
    ),
    "trays-cut-short": FindingKind(
        "The outermost tray still caught something, so the throw reaches past the row.",
        "Set out more trays on that side.",
        mended=False,
        example="Trays out to 6 ft, the last one still a third full.",
    ),
    "setting-from-one-run": FindingKind(
        "A setting is worked out from one run in proportion, which only holds near that setting.",
        "Run a second test at the new setting.",
        mended=False,
        example="One run at setting 12 gave 5 lb; 4 lb is asked for.",
    ),
    "setting-scatter-assumed": FindingKind(
        "No setting was run twice, so the scatter of a run is taken from the usual tolerance of 5 %.",
        "Repeat one setting to measure it.",
        mended=False,
        example="Settings 10, 12 and 14, one run each.",
    ),
    "setting-untested": FindingKind(
        "The rate of a zone lies outside the rates of the test runs, so no setting is given for it.",
        "Make a test run at a setting that lays more, or less, as the sentence says.",
        mended=False,
        example="Runs at 2 and 4 lb / 1000 sq ft, and a bare zone that is to get 8.",
    ),
    "nozzle-worn": FindingKind(
        "A nozzle gives over a tenth more or less than the mean of the boom.",
        "Clean or replace it and its screen, and catch from all nozzles again.",
        mended=False,
        example="Three nozzles gave 14 fluid ounces in the time of the course, the fourth gave 18.",
    ),
    "no-even-spacing": FindingKind(
        "The throw is so uneven that no distance between lanes keeps the variation within the limit.",
        "Check the trays, adjust the spreader, or allow a higher limit.",
        mended=False,
        example="Trays that go up and down like a saw, and a cv_limit of 1 %.",
    ),
    "rate-out-of-tolerance": FindingKind(
        "A test run differs from the rate that was wanted by more than 5 %.",
        "Change the setting and run it again.",
        mended=False,
        example="4 lb / 1000 sq ft was wanted, 4.4 went down.",
    ),
}
