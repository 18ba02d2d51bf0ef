"""How thick the spacer under the rocker post may be, by the very rules that judge it (R01 to R04)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf

from headparts.checks.context import Context
from headparts.mechanics.rocker import half_sweep, spacer_lower_bound
from headparts.plan import MissingInput
from headparts.plan.derived import mean_tip_rise, ratio
from headparts.plan.station import StationPlan

HALVINGS = 60
Span = tuple[float, float]


@dataclass(frozen=True)
class SpacerWindow:
    """Thicknesses t [mm] that keep R01 to R04, and the thickness at which the lash stays as it was.

    ``lower_by``, ``upper_by``: the rule that sets each end. ``keeps_lash``: t with the pushrod ``change`` of the job,
    at the mean tip rise. ``old_pushrods``: t with no change of the pushrods. ``left_out``: rules that lack a key.
    """

    lower: float
    upper: float
    lower_by: str
    upper_by: str
    old_pushrods: float
    keeps_lash: float | None
    change: float | None
    left_out: tuple[str, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether no thickness keeps all rules."""
        return self.upper < self.lower - 1e-9

    def __str__(self) -> str:
        ends = f"{self.lower:.3f} ({self.lower_by}) to {self.upper:.3f} ({self.upper_by})"
        text = f"No spacer keeps R01 to R04: {ends}" if self.is_empty else f"Spacer {ends}"
        text += f"; lash kept with the old pushrods at {self.old_pushrods:.4f}"
        if self.keeps_lash is not None and self.change:
            text += f", with pushrods {self.change:+.3f} at {self.keeps_lash:.4f}"
        return text + (f"; not looked at: {', '.join(self.left_out)}" if self.left_out else "")


def spacer_window(context: Context) -> SpacerWindow:
    """The window of spacer thicknesses of a job.

    Raises MissingInput where the rise of the tips or the rocker's arms are not known.
    """
    rise, r = mean_tip_rise(context.plan), ratio(context.plan)
    change = context.inputs.get("rocker.pushrod.change")
    old = float(spacer_lower_bound(rise, r))
    keeps = None if change is None else (rise + r * float(change)) / (1.0 + r)
    spans: list[tuple[str, Span]] = [
        (
            "R01",
            (
                old + _limit(context, "R01", "above_lower"),
                rise - _limit(context, "R01", "below_upper", "below_upper"),
            ),
        )
    ]
    left_out = []
    rules: list[tuple[str, Callable[[], Span]]] = [("R04", lambda: (-inf, _past_nut(context)))]
    for name, station in context.plan.stations.items():
        rules.append((f"R02 {name}", lambda each=station: _adjuster(context, each, r)))  # type: ignore[misc]
        rules.append((f"R03 {name}", lambda each=station: _sweep(context, each)))  # type: ignore[misc]
    for rule, make in rules:
        try:
            spans.append((rule, make()))
        except MissingInput:
            left_out.append(rule)
    low_by, (low, _) = max(spans, key=lambda each: each[1][0])
    high_by, (_, high) = min(spans, key=lambda each: each[1][1])
    return SpacerWindow(
        low, high, low_by, high_by, old, keeps, None if change is None else float(change), tuple(left_out)
    )


def _limit(context: Context, check: str, quantity: str, name: str = "") -> float:
    value = context.limits.use(check, quantity, name).value
    assert isinstance(value, float)
    return value


def _adjuster(context: Context, station: StationPlan, r: float) -> Span:
    """R02: |(t (1 + R) - dh)/R - c| at most half the range, times R at the valve end."""
    change, span, where = context.inputs(
        "rocker.pushrod.change", "rocker.adjuster.range", "rocker.adjuster.where"
    )
    most = context.computed("R02", span / 2.0).value
    assert isinstance(most, float)
    room = most if where == "valve end" else most * r
    middle = station.tip_rise_z + r * float(change)
    return (middle - room) / (1.0 + r), (middle + room) / (1.0 + r)


def _sweep(context: Context, station: StationPlan) -> Span:
    """R03: the pad's half sweep grows with the distance of t from the tip's rise, to either side alike."""
    arm = float(context.inputs.one("rocker.arm.valve"))
    lift, stem = (float(value) for value in station.inputs("valve.lift", "valve.stem"))
    rise, most = station.tip_rise_z, _limit(context, "R03", "half_sweep_over_stem") * stem

    def keeps(off: float) -> bool:
        return float(half_sweep(arm, lift, off, 0.0)) <= most

    if not keeps(0.0):
        return inf, -inf
    low, high = 0.0, (arm - lift / 2.0) * (1.0 - 1e-9)
    if keeps(high):
        return -inf, inf
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if keeps(middle) else (low, middle)
    return rise - low, rise + low


def _past_nut(context: Context) -> float:
    """R04: what the stud leaves for a spacer with the nut on and the limit beyond it."""
    projection, height, washer, nut, pitch = context.inputs(
        "rocker.post.stud_projection",
        "rocker.post.post_height",
        "rocker.post.washer",
        "rocker.post.nut_h",
        "rocker.post.pitch",
    )
    beyond = context.computed("R04", pitch).value
    assert isinstance(beyond, float)
    return float(projection - height - washer - nut - beyond)
