"""Drilling through a pressed bushing: the drill's torque and what the fit must hold."""

from __future__ import annotations

from headparts.mechanics.arrays import NOT_NEGATIVE, POSITIVE, ArrayLike, Result, numbers, plain


def drill_torque(diameter: ArrayLike) -> Result:
    """Torque of a twist drill in a hard bronze bushing.

        T = 3 (d/12)^1.8

    Parameters (scalars or arrays that broadcast):
        diameter [mm]: d, of the drill
    Returns:
        [N m] torque, broadcast shape
    Raises:
        ParameterError: a value not finite or not positive
    Validity: a round figure for hand feed, about 5 to 20 mm.
    Source: common practice, no source.

    >>> drill_torque(12.0)
    3.0
    """
    (d,) = numbers(diameter=(diameter, POSITIVE))
    return plain(3.0 * (d / 12.0) ** 1.8)


def torque_on_bushing(drill_torque_: ArrayLike, port_diameter: ArrayLike, body_diameter: ArrayLike) -> Result:
    """Torque about the valve axis while one lip of the drill catches the bushing's side.

        force = 2 T/port at the bushing's outside, so  torque = force body/2 = T body/port

    Parameters (scalars or arrays that broadcast):
        drill_torque_ [N m]: T, of the drill
        port_diameter [mm]: of the drill
        body_diameter [mm]: of the bushing
    Returns:
        [N m] torque, broadcast shape
    Raises:
        ParameterError: a value not finite or out of range
    Validity: a one-sided catch, the worst plain case; the fit should hold twice this.
    Source: statics; common practice, no source.

    >>> round(2 * torque_on_bushing(drill_torque(10.5), 10.5, 16.5), 4)
    7.4141
    """
    t, d, body = numbers(
        drill_torque_=(drill_torque_, NOT_NEGATIVE), port_diameter=(port_diameter, POSITIVE),
        body_diameter=(body_diameter, POSITIVE),
    )  # fmt: skip
    return plain(t * body / d)
