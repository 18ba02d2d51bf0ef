"""The bridge between two press bores in plain lines."""

from __future__ import annotations

import textwrap

from headparts.reports.numbers import number
from headparts.reports.terminal import Terminal
from headparts.stress.bridge import Bridge, Fit, Stage, Value

CAUTION = (
    "A plane model of one section: elastic, long free ends, ports, leads and fins left out. The fits are computed without "
    "slip and without friction; a real one lies between, and slips wherever it lacks the friction told. Above the yield "
    "the web gives way and the figures end. For a competent person to judge."
)
LIKELY_FRICTION = 0.2
"""Friction that a dry press fit hardly exceeds (common practice, no source)."""


def print_bridge(found: Bridge, terminal: Terminal) -> None:
    """Web, stages, contact, ovality, guides, quick rules, and what the model is."""
    for text in lines(found):
        for line in textwrap.wrap(text, terminal.width, subsequent_indent="  ") or [""]:
            terminal.line(line)


def lines(found: Bridge) -> list[str]:
    """What was found, one sentence a line; +/- is how much a mesh of twice the element size differs."""
    section = found.section
    rings = ", ".join(f"{ring.name} {ring.interference:.4f}" for ring in section.rings)
    made = [
        f"web {number(section.web_width, 'mm')} mm at z = {section.z:.2f}, case {found.case}, tight end of the fits: "
        f"interference {rings}"
    ]
    if section.notes:
        made.append("; ".join(section.notes))
    for stage, slid in zip(found.stages, found.sliding, strict=True):
        made += ["", *_stage_lines(stage, slid, found.strength)]
    made += ["", *_judged(found), *_rules(found), *_guides(found), "", CAUTION]
    return made


def _stage_lines(stage: Stage, slid: Stage, strength: float | None) -> list[str]:
    made = [
        f"{stage.name}: web Tresca {mpa(stage.tresca)} MPa without slip, {mpa(slid.tresca)} without friction"
        + ("" if strength is None else f"; yield {strength:.0f}"),
        f"  von Mises {mpa(stage.von_mises)}, {mpa(slid.von_mises)}; hoop mean over the web {mpa(stage.hoop_mean)}, "
        f"{mpa(slid.hoop_mean)}",
    ]
    for each, words in ((stage, "without slip"), (slid, "without friction")):
        if each.peak.value > each.tresca.value + max(1.0, each.peak.change):
            x, y = each.peak_at
            made.append(f"  greatest in the head {words} {mpa(each.peak)} at x {x:.2f}, y {y:.2f}")
    for fit, loose in zip(stage.fits, slid.fits, strict=True):
        made += [f"  {_fit_text(fit, 'without slip')}", f"  {_fit_text(loose, 'without friction')}"]
    for name, oval in stage.empty_oval.items():
        made.append(
            f"  empty bore of {name}: {um(oval)} um oval, {um(slid.empty_oval[name])} without friction; "
            "it is measured true only before the first bushing is in"
        )
    return made


def _fit_text(fit: Fit, words: str) -> str:
    text = (
        f"{fit.name} {words}: pressure {mpa(fit.pressure)} MPa ({fit.pressure_least.value:.0f} to "
        f"{fit.pressure_most.value:.0f} round it), throat {um(fit.throat_oval)} um oval, "
        f"closes {um(fit.throat_closes)} um"
    )
    return f"{text}; it would have to pull in places" if fit.pressure_least.value < 0.0 else text


def _judged(found: Bridge) -> list[str]:
    """How much friction decides, and whether the web yields."""
    both, slid = found.both, found.both_sliding
    text = f"With both in, fits without slip need a friction of {both.friction:.2f} somewhere"
    if both.friction > LIKELY_FRICTION:
        text += (
            f", more than a press fit has (0.1 to {LIKELY_FRICTION:g}, common practice): they slip, "
            "and the web sees more than without slip"
        )
    made = [f"{text}."]
    if found.strength is not None:
        low, high = sorted((both.tresca.value, slid.tresca.value))
        if low > found.strength:
            made.append("The web yields at its edges with both in, with or without friction.")
        elif high > found.strength:
            made.append(
                "Without friction the web yields at its edges with both in: the fit relaxes there; "
                "less interference or more web."
            )
    return made


def _rules(found: Bridge) -> list[str]:
    made = []
    ends = zip(found.both.tresca_ends, found.both_sliding.tresca_ends, strict=True)
    for rule, (end, slid) in zip(found.rules, ends, strict=True):
        made.append(
            f"quick rule of {rule.name}, ring of {rule.hub:.2f}: Tresca {rule.tresca:.1f} MPa; with both in the model has "
            f"{end.value:.1f} at this bore without slip ({100.0 * (end.value / rule.tresca - 1.0):+.1f} %), "
            f"{slid.value:.1f} without friction ({100.0 * (slid.value / rule.tresca - 1.0):+.1f} %); two fields of an "
            f"endless plate added up: {rule.added_tresca:.1f}"
        )
    return made


def _guides(found: Bridge) -> list[str]:
    if found.guide_section is None:
        return [f"guides not run: {found.guides_note}"]
    both = found.guides[-1]
    made = []
    for fit in both.fits:
        alone = next(s for s in found.guides if s.present == (fit.name,)).fits[0]
        made.append(
            f"guide bore of {fit.name} at z = {found.guide_section.z:.2f}: closes {um(fit.throat_closes)} um, "
            f"{um(alone.throat_oval)} um oval alone, {um(fit.throat_oval)} with both in"
        )
    return made


def mpa(value: Value) -> str:
    """A stress with what the mesh makes of it.

    >>> mpa(Value(142.13, 0.17)), mpa(Value(142.13, 1.4))
    ('142.1 +/- 0.2', '142.1 +/- 1.4')
    """
    return f"{value.value:.1f} +/- {max(value.change, 0.05):.1f}"


def um(value: Value) -> str:
    """A small length in um.

    >>> um(Value(0.01, 0.0001))
    '10.0'
    """
    return f"{1000.0 * value.value:.1f}"
