"""The bridge between two press bores in plain lines."""

from __future__ import annotations

import textwrap

from headparts.reports.numbers import number
from headparts.reports.terminal import Terminal
from headparts.stress.bridge import Bridge, Fit, Stage, Value
from headparts.stress.from_plan import COLD

CAUTION = (
    "A plane model of one section: elastic, the bushings bonded in their bores, long free ends, ports, leads and fins left "
    "out. Above the yield the web gives way and the figures end. For a competent person to judge."
)


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
    for stage in found.stages:
        made += ["", *_stage_lines(stage, found.strength)]
    made += ["", *_order(found), *_ovality(found), *_rules(found)]
    made += _guides(found)
    made += ["", CAUTION]
    return made


def _stage_lines(stage: Stage, strength: float | None) -> list[str]:
    limit = (
        ""
        if strength is None
        else f" ({100.0 * stage.tresca.value / strength:.0f} % of the yield {strength:.0f})"
    )
    made = [
        f"{stage.name}: web Tresca {mpa(stage.tresca)} MPa{limit}, von Mises {mpa(stage.von_mises)}, "
        f"hoop mean over the web {mpa(stage.hoop_mean)}"
    ]
    if stage.peak.value > stage.tresca.value + max(1.0, stage.peak.change):
        x, y = stage.peak_at
        made.append(f"  greatest in the head {mpa(stage.peak)} at x {x:.2f}, y {y:.2f}")
    made += [f"  {_fit_text(fit)}" for fit in stage.fits]
    made += [f"  empty bore of {name}: {um(oval)} um oval" for name, oval in stage.empty_oval.items()]
    return made


def _fit_text(fit: Fit) -> str:
    text = (
        f"{fit.name}: pressure {mpa(fit.pressure)} MPa ({fit.pressure_least.value:.0f} to "
        f"{fit.pressure_most.value:.0f} round it), throat {um(fit.throat_oval)} um oval, "
        f"closes {um(fit.throat_closes)} um"
    )
    return f"{text}; the bonded fit pulls in places" if fit.pressure_least.value < 0.0 else text


def _order(found: Bridge) -> list[str]:
    first, second, both = found.stages
    worst = max(first, second, key=lambda stage: stage.tresca.value)
    if found.case != COLD or worst.tresca.value <= both.tresca.value:
        return []
    better = min(first, second, key=lambda stage: stage.tresca.value)
    text = (
        "The web is loaded most while one bore is still empty"
        f" ({worst.tresca.value:.0f} MPa against {both.tresca.value:.0f} with both in)"
    )
    if found.strength is not None and better.tresca.value > found.strength:
        text += (
            ": its edge yields then in either order; measure the second bore after the first bushing is in"
        )
    return [f"{text}; {better.present[0]} first is the milder order."]


def _ovality(found: Bridge) -> list[str]:
    made = []
    for alone in found.stages[:2]:
        name = alone.present[0]
        before = alone.fits[0].throat_oval.value
        after = next(fit.throat_oval.value for fit in found.both.fits if fit.name == name)
        made.append(
            f"throat of {name}: {1000 * before:.1f} um oval when alone, {1000 * after:.1f} once the second is in"
        )
    return made


def _rules(found: Bridge) -> list[str]:
    made = []
    ends = found.both.tresca_ends
    for rule, end in zip(found.rules, ends, strict=True):
        made.append(
            f"quick rule of {rule.name}, ring of {rule.hub:.2f}: Tresca {rule.tresca:.1f} MPa; with both in the model has "
            f"{end.value:.1f} at this bore ({100.0 * (end.value / rule.tresca - 1.0):+.1f} %); two fields of an endless "
            f"plate added up: {rule.added_tresca:.1f}"
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
