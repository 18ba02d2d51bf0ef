"""The readings of a record laid over a job: a job as made, in memory; the user's file stays as it is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from headparts.config import Fault, JobFile
from headparts.config.overlaid import Laid, Overlay
from headparts.config.record import Reading, RecordFile
from headparts.config.record_items import ITEMS, NO_OPENING, Asked, Item, asked
from headparts.errors import HeadpartsError, JobFileError, TableError
from headparts.job.record_expected import expected, greatest_rise, repair_of, step_depth
from headparts.mechanics.reference_temperature import REFERENCE, size_at_20
from headparts.plan import MissingInput, Plan, plan_job
from headparts.plan.derived import installed
from headparts.plan.true_place import placed_by
from headparts.tables.instruments import half_width
from headparts.tables.shop_tolerances import shop_tolerance

SHIFT = 1e-9
"""A shift below this is none [mm]."""


@dataclass(frozen=True)
class Made:
    """A job as planned and as made. ``at20``: the readings by dotted key, referred to 20 degC [mm, N].

    ``moved``: cavities that a measured opening placed anew: gap of the axes and how much nearer [mm]. ``remarks``: what
    was not corrected or not used, and why.
    """

    planned: Plan
    plan: Plan
    record: RecordFile
    at20: Mapping[str, tuple[float | None, ...]]
    moved: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    remarks: tuple[str, ...] = ()


def lay_over(overlay: Overlay, record: RecordFile, *, finished: bool = True) -> Made:
    """The job with the readings of its record in the place of the planned sizes.

    ``finished``: a job as built must then state every fit dimension; a form is written before that.

    Raises JobFileError, with places in the record, for a reading that cannot be: far from its plan, or impossible
    together with the rest of the job.
    """
    return _Laying(overlay, record).made(finished)


class _Laying:
    """Lays the readings in three goes: sizes; tips and cavities, which hang on them; spring and cover, on the tips."""

    def __init__(self, overlay: Overlay, record: RecordFile) -> None:
        self.overlay, self.record = overlay, record
        self.planned = plan_job(overlay.job)
        self.values: dict[str, Laid] = {}
        self.without: list[str] = []
        self.moved: dict[str, tuple[float, float]] = {}
        self.remarks: list[str] = []
        self.faults: list[Fault] = []
        self.asked = [each for each in asked(overlay.job) if each.key in record.readings]
        self.at20 = self._referred()

    def made(self, finished: bool) -> Made:
        self._refuse_slips()
        self._temperatures()
        for each in self.asked:
            self._size(each)
        plan = plan_job(self._go())
        for each in self.asked:
            self._place(each, plan)
        plan = plan_job(self._go())
        for each in self.asked:
            self._fitted(each, plan)
        made = plan_job(self._go(finished))
        return Made(self.planned, made, self.record, self.at20, self.moved, tuple(self.remarks))

    def _go(self, finished: bool = False) -> JobFile:
        job, faults = self.overlay.laid(self.values, self.without, as_built=finished)
        self.faults += [self._at_its_place(fault) for fault in faults]
        if self.faults:
            raise JobFileError(sorted(self.faults, key=lambda fault: (fault.file, fault.line, fault.column)))
        return replace(job, record=self.record.path.name) if self.asked else job

    def _at_its_place(self, fault: Fault) -> Fault:
        """A fault that only the readings bring about, at the reading."""
        if fault.message.startswith("status as_built"):
            return replace(fault, message=f"{fault.message}; the record has no complete reading of it")
        for key, laid in self.values.items():
            if laid.key and (fault.key == key or fault.key.startswith(f"{key}.")):
                return self.record.fault(laid.key, f"{fault.key}: {fault.message}")
        near = self._behind(fault)
        return self.record.fault(near, f"with these readings {fault.key}: {fault.message}")

    def _behind(self, fault: Fault) -> str:
        """The reading that a fault elsewhere comes from: one whose key its message names, else one of its block."""
        laid = {key: each.key for key, each in self.values.items() if each.key}
        named = [own for key, own in laid.items() if ".".join(key.split(".")[-2:]) in fault.message]
        block = fault.key.split(".")[:2]
        beside = [own for key, own in laid.items() if key.split(".")[:2] == block]
        return next(iter((*named, *beside)), "")

    # ---- readings ---------------------------------------------------------------------------
    def _referred(self) -> dict[str, tuple[float | None, ...]]:
        """Every reading at 20 degC, where the part's temperature and expansion are known."""
        found: dict[str, tuple[float | None, ...]] = {}
        silent: dict[str, str] = {}
        for each in self.asked:
            reading = self.record.readings[each.key]
            part, gauge = self.record.conditions.get(each.item.step, (None, None))
            found[each.key] = reading.values
            if not each.item.grows:
                continue
            cte = self._expansion(each)
            if part is None:
                silent[each.item.step] = "no temperature given: not corrected to 20 degC"
            elif cte is None:
                silent[each.key] = (
                    f"the expansion of the {each.item.grows} is not in the job: not corrected to 20 degC"
                )
            else:
                at = REFERENCE if gauge is None else gauge
                found[each.key] = tuple(
                    None if value is None else float(size_at_20(value, cte, part, at))
                    for value in reading.values
                )
                if gauge is None and abs(part - REFERENCE) > 1e-9:
                    silent[f"{each.item.step}.gauge_temperature"] = (
                        "not given: the gauge is taken to read true"
                    )
        self.remarks += [f"{key}: {text}" for key, text in silent.items()]
        return found

    def _expansion(self, each: Asked) -> float | None:
        inputs = self.planned.inputs
        keys = {
            "head": "head.material",
            "bushing": f"stations.{each.subject}.bushing.material",
            "sleeve": f"repairs.{each.subject}.sleeve.material",
        }
        material = inputs.get(keys[each.item.grows])
        value = None if material is None else inputs.get(f"materials.{material}.cte")
        return None if not value else float(value)

    def _refuse_slips(self) -> None:
        """A reading far from its plan can only be a slip of the pen, or of another feature."""
        for each in self.asked:
            rule = shop_tolerance(each.item.step, each.item.key)
            size = expected(each, self.planned, self.planned).size if rule.slip is not None else None
            if size is None or rule.slip is None:
                continue
            for index, value in enumerate(self.record.readings[each.key].values):
                if value is not None and abs(value - size) > rule.slip:
                    text = f"{value:.6g} is {abs(value - size):.4g} from the planned {size:.6g}"
                    message = f"{text}; more than {rule.slip:g} can only be a slip: read it again"
                    self.faults.append(self.record.fault(_place_of(each.item, each.key, index), message))

    def _temperatures(self) -> None:
        """M07 judges the temperature farthest from 20; a step of diameters without one leaves it open."""
        steps = {each.item.step for each in self.asked if each.item.grows}
        told = [self.record.conditions.get(step, (None, None))[0] for step in steps]
        given = [value for value in told if value is not None]
        if len(given) < len(steps):
            self.without.append("datums.temperature")
        elif given:
            self.values["datums.temperature"] = Laid(max(given, key=lambda value: abs(value - REFERENCE)))

    def _complete(self, each: Asked) -> Reading | None:
        """The reading when nothing of it is left open; a remark otherwise."""
        reading = self.record.readings[each.key]
        if reading.complete:
            return reading
        made = len(reading.numbers)
        self.remarks.append(
            f"{each.key}: {made} of {len(reading.values)} readings; not used before all are there"
        )
        return None

    def _lay(self, key: str, value: object, each: Asked, stated: bool = False) -> None:
        """``stated``: with the half-width and the instrument of the reading."""
        reading = self.record.readings[each.key]
        if stated:
            self.values[key] = Laid(value, usual_u(reading), reading.by, each.key, True)
        else:
            self.values[key] = Laid(value, key=each.key)

    def _shifted(self, key: str, shift: float, each: Asked) -> None:
        """A planned number moved along; keys that the job does not give stay away."""
        before = self.values[key].value if key in self.values else self.overlay.job.get(key)
        if isinstance(before, float) and abs(shift) > SHIFT:
            self._lay(key, before + shift, each)

    # ---- first: sizes -----------------------------------------------------------------------
    def _size(self, each: Asked) -> None:
        reading = self._complete(each)
        if reading is None or reading.words is not None:
            return
        values = tuple(value for value in self.at20[each.key] if value is not None)
        step, key, path = each.item.step, each.item.key, f"stations.{each.subject}"
        if each.subject in self.planned.repairs:
            self._sleeve(each, values)
        elif step == "as_found":
            self._as_found(each, values)
        elif key in ("body_bore", "shank_bore"):
            self._lay(f"{path}.measured.{key}", _rows(values), each)
            which = "body" if key == "body_bore" else "shank"
            self._lay(f"{path}.bushing.{which}.dia", _mean(values), each, stated=True)
        elif key in ("body_od", "shank_od"):
            self._lay(f"{path}.measured.{key}", _rows(values), each)
        elif key == "step_depth":
            self._deeper(each, values[0] - step_depth(self.planned.stations[each.subject]))
            self._lay(f"{path}.measured.step_depth", values[0], each, stated=True)
        elif key == "body_len":
            planned = expected(each, self.planned, self.planned).size
            if planned is not None:
                self._shifted(f"{path}.bushing.body.face_above_roof", planned - values[0], each)
        elif key == "guide_bore":
            self._guide(each, values)
        elif (step, key) in _PLAIN:
            stated = key != "runout"
            self._lay(_PLAIN[step, key].format(each.subject), max(values), each, stated=stated)
        elif key == "pushrod_length":
            old = self.overlay.job.get("rocker.pushrod.length")
            self._lay("rocker.pushrod.change", values[0] - old, each)

    def _as_found(self, each: Asked, values: tuple[float, ...]) -> None:
        if each.subject == "rocker":
            self._lay("rocker.cover_clearance", values[0], each, stated=True)
            return
        station = self.overlay.job.stations[each.subject]
        path, readings = f"stations.{each.subject}.old", self.record.readings
        tip = any(f"as_found.{each.subject}.{key}" in readings for key in ("tip_z", "tip_s"))
        if station.old is None and not tip:
            self.remarks.append(f"{each.key}: not used before the old tip height is there")
        elif each.item.key == "axis":
            height = self.planned.stations[each.subject].axis.point[2]
            self._lay(f"{path}.axis.p", (*values, height), each)
            self._lay(f"{path}.axis.tilt", 0.0, each)
        else:
            self._lay(f"{path}.{each.item.key}", values[0], each, stated=True)

    def _deeper(self, each: Asked, by: float) -> None:
        """The bushing seats on the step: everything that was turned from its shoulder goes along."""
        path = f"stations.{each.subject}.bushing"
        for key in (
            "body.len",
            "body.face_above_roof",
            "bowl.roof_s",
            "seat.s_outer",
            "shank.top_s",
            "shank.top_z",
        ):
            self._shifted(f"{path}.{key}", by, each)

    def _guide(self, each: Asked, values: tuple[float, ...]) -> None:
        path = f"stations.{each.subject}"
        reamed = self.overlay.job.get(f"{path}.bushing.guide.ream_after_press") is True
        if each.item.step == "bushings":
            key = "pre_bore" if reamed else "bore"
            self._lay(f"{path}.bushing.guide.{key}", min(values), each, stated=True)
            return
        self._lay(f"{path}.measured.guide_bore", values, each)
        if reamed:
            self._lay(f"{path}.bushing.guide.bore", min(values), each, stated=True)

    def _sleeve(self, each: Asked, values: tuple[float, ...]) -> None:
        path, least, most = f"repairs.{each.subject}", min(values), max(values)
        if each.item.key == "bore":
            self._lay(f"{path}.measured.bore", values, each)
            self._lay(f"{path}.bore.dia", least, each, stated=True)
        elif each.item.key == "od":
            self._lay(f"{path}.sleeve.od", most, each, stated=True)
            self._lay(f"{path}.sleeve.od_tol", (least - most, 0.0), each)
        elif each.item.key == "id":
            self._lay(f"{path}.sleeve.id", least, each, stated=True)
            self._lay(f"{path}.sleeve.id_tol", (0.0, most - least), each)

    # ---- then: tips and cavities ------------------------------------------------------------
    def _place(self, each: Asked, plan: Plan) -> None:
        reading = self.record.readings[each.key]
        if not reading.complete or each.item.step not in ("seats", "ports"):
            return
        station = plan.stations[each.subject]
        if each.item.key in ("tip_z", "tip_s"):
            tip = reading.numbers[0]
            if each.item.key == "tip_z":
                tip = (tip - float(station.axis.point[2])) / float(station.direction[2])
            key = f"stations.{each.subject}.valve.gauge_to_tip"
            self._lay(key, self.overlay.job.get(key) + tip - station.tip_s, each, stated=True)
        elif each.item.key == "opening" and reading.words not in (None, NO_OPENING):
            self._cavity(each, reading, plan)

    def _cavity(self, each: Asked, reading: Reading, plan: Plan) -> None:
        name, along = reading.words, reading.values[0]
        assert name is not None and along is not None  # noqa: PT018
        key = f"{each.key}.along_port"
        port = plan.voids.cut("port", each.subject).void
        cavity = next(block for block in plan.voids.cavity_blocks if block.name == name)
        try:
            place, step = placed_by(port, plan.voids.cavity(name), along, key)
        except HeadpartsError as error:
            text = error.note if isinstance(error, MissingInput) and error.note else str(error)
            self.faults.append(
                self.record.fault(key, f"no place of {name} gives an opening of {along:g}: {text}")
            )
            return
        self.moved[name] = (place.gap, place.nearer)
        repair = repair_of(plan, each.subject)
        if repair is not None and repair.cause == name:
            self.without.append(f"repairs.{repair.name}.cause.measured_opening")
            for part, value in zip(("along_port", "around"), reading.values, strict=True):
                if value is not None:
                    self._lay(
                        f"repairs.{repair.name}.cause.measured_opening.{part}", value, each, stated=True
                    )
        if abs(place.nearer) > SHIFT:
            moved = tuple(float(a + b) for a, b in zip(cavity.axis.p, step, strict=True))
            self._lay(f"head.cavities.{name}.axis.p", moved, each)
        kin = [
            block.name
            for block in plan.voids.cavity_blocks
            if cavity.core_group is not None and block.core_group == cavity.core_group and block.name != name
        ]
        if kin:
            self.remarks.append(
                f"{name} lies elsewhere than drawn; of the same core, left as drawn: {', '.join(kin)}"
            )
        if reading.by is None and reading.u is None:
            self.remarks.append(f"{each.key}: u not given")

    # ---- last: spring and cover -------------------------------------------------------------
    def _fitted(self, each: Asked, plan: Plan) -> None:
        reading = self.record.readings[each.key]
        if not reading.complete:
            return
        if each.item is ITEMS["seats", "installed"]:
            shift = installed(plan.stations[each.subject]) - reading.numbers[0]
            for key in ("seat_s", "seat_z"):
                self._shifted(f"stations.{each.subject}.spring.{key}", shift, each)
        elif each.item is ITEMS["train", "cover_left"]:
            self._lay("rocker.cover_clearance", reading.numbers[0] + greatest_rise(plan), each, stated=True)


_PLAIN = {
    ("bushings", "stem"): "stations.{}.valve.stem",
    ("ports", "dia"): "stations.{}.port.dia",
    ("seats", "runout"): "stations.{}.measured.seat_runout",
    ("seats", "width"): "stations.{}.bushing.seat.width",
    ("train", "spacer_thick"): "rocker.spacer.thick",
    ("train", "parallel"): "rocker.spacer.parallel",
    ("train", "lash"): "rocker.lash_cold.{}",
}
"""Readings that take the place of one key of the job; of several readings the greatest does."""


def usual_u(reading: Reading) -> float | None:
    """The half-width that was written, else the usual one of the instrument named [mm]; None where neither is known."""
    if reading.u is not None or reading.by is None:
        return reading.u
    try:
        value, unit = half_width(reading.by)
    except TableError:
        return None
    return value if unit == "mm" else None


def _place_of(item: Item, key: str, index: int) -> str:
    """The dotted key of one number of a reading."""
    for size in reversed(item.shape[1:]):
        return f"{key}.{index // size}.{index % size}"
    return f"{key}.{index}" if item.shape else key


def _rows(values: tuple[float, ...]) -> tuple[tuple[float, float], ...]:
    return tuple((values[i], values[i + 1]) for i in range(0, len(values), 2))


def _mean(values: Iterable[float]) -> float:
    listed = list(values)
    return sum(listed) / len(listed)
