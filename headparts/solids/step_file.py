"""STEP files with names, colours and mm: written to memory, the same bytes every time, and read back.

The kernel's own writer is used through its document layer. What differs from run to run in what it writes
(the clock time, occurrence numbers that count up per process, the order of colours, which follows memory
addresses) is set or put in order by :mod:`headparts.solids.step_text`.
"""

from __future__ import annotations

import io
import os
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from headparts.errors import KernelError, ParameterError
from headparts.solids.step_text import canonical

Colour = tuple[float, float, float]
SCHEMAS = {"AP214": "AP214IS", "AP242": "AP242DIS"}
END = b"END-ISO-10303-21;"


@dataclass(frozen=True)
class Body:
    """One named solid for a file. ``solid``: a cadquery solid or kernel shape, where it shall be in the file.

    ``colour`` is red, green, blue from 0 to 1 as a screen shows them, or None.
    """

    name: str
    solid: Any
    colour: Colour | None = None


@dataclass(frozen=True)
class Header:
    """What the head of the file says. ``date`` is the job's date (ISO, `2025-01-15`), never the clock's."""

    name: str
    description: str
    date: str
    system: str
    author: str = ""
    organization: str = ""


def write_step(bodies: Sequence[Body], header: Header, schema: str = "AP214") -> bytes:
    """The bytes of a STEP file: one body as a product of its own, several as an assembly named by the header.

    Raises:
        ParameterError: no body, two bodies of one name, or an unknown schema.
        KernelError: the kernel did not write a complete file.
    """
    if schema not in SCHEMAS:
        raise ParameterError("schema", schema, f"one of {', '.join(SCHEMAS)}")
    names = [body.name for body in bodies]
    if not names or len(set(names)) != len(names):
        raise ParameterError("bodies", names, "at least one, each with a name of its own")
    from OCP.APIHeaderSection import APIHeaderSection_MakeHeader
    from OCP.IFSelect import IFSelect_RetDone
    from OCP.Interface import Interface_HArray1OfHAsciiString, Interface_Static
    from OCP.STEPCAFControl import STEPCAFControl_Writer
    from OCP.STEPControl import STEPControl_AsIs, STEPControl_Controller
    from OCP.TCollection import TCollection_HAsciiString

    def text(value: str) -> Any:
        return TCollection_HAsciiString(value)

    def one(value: str) -> Any:
        array = Interface_HArray1OfHAsciiString(1, 1)
        array.SetValue(1, text(value))
        return array

    document = _document(bodies, header.name)
    STEPControl_Controller.Init_s()  # without it the schema is ignored, and no error says so
    Interface_Static.SetCVal_s("write.step.schema", SCHEMAS[schema])
    Interface_Static.SetCVal_s("write.step.unit", "MM")
    Interface_Static.SetIVal_s("write.surfacecurve.mode", 1)
    writer = STEPCAFControl_Writer()
    writer.SetColorMode(True)
    writer.SetNameMode(True)
    if not writer.Transfer(document, STEPControl_AsIs):
        raise KernelError(f"{header.name}: the kernel could not translate the model to STEP")
    head = APIHeaderSection_MakeHeader(writer.ChangeWriter().Model())
    head.SetName(text(header.name))
    head.SetTimeStamp(text(f"{header.date}T00:00:00"))
    head.SetAuthor(one(header.author))
    head.SetOrganization(one(header.organization))
    head.SetOriginatingSystem(text(header.system))
    head.SetAuthorisation(text(""))
    head.SetDescription(one(header.description))
    out = io.BytesIO()
    status = writer.WriteStream(out)
    data = canonical(out.getvalue())
    if status != IFSelect_RetDone or not is_complete(data):
        raise KernelError(f"{header.name}: the kernel did not write a complete STEP file")
    return data


def is_complete(data: bytes) -> bool:
    """Whether a STEP file begins and ends as it must."""
    return data.startswith(b"ISO-10303-21;") and data.rstrip().endswith(END)


def read_step(data: bytes) -> tuple[Body, ...]:
    """Every solid of a STEP file with its name and colour, in its place, in mm.

    Raises:
        KernelError: the file is torn, cannot be read, or holds no solid.
    """
    if not is_complete(data):
        raise KernelError("the STEP file is torn: its end is missing")
    from OCP.IFSelect import IFSelect_RetDone
    from OCP.STEPCAFControl import STEPCAFControl_Reader

    document = _empty_document()
    reader = STEPCAFControl_Reader()
    reader.SetColorMode(True)
    reader.SetNameMode(True)
    handle, path = tempfile.mkstemp(suffix=".step")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        if reader.ReadFile(path) != IFSelect_RetDone or not reader.Transfer(document):
            raise KernelError("the STEP file cannot be read")
    finally:
        os.unlink(path)
    bodies = tuple(_solids_in(document))
    if not bodies:
        raise KernelError("the STEP file holds no solid")
    return bodies


def _empty_document() -> Any:
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDocStd import TDocStd_Document
    from OCP.XCAFApp import XCAFApp_Application
    from OCP.XCAFDoc import XCAFDoc_DocumentTool

    document = TDocStd_Document(TCollection_ExtendedString("XmlOcaf"))
    XCAFApp_Application.GetApplication_s().InitDocument(document)
    XCAFDoc_DocumentTool.SetLengthUnit_s(document, 0.001)
    return document


def _document(bodies: Sequence[Body], name: str) -> Any:
    from OCP.Quantity import Quantity_Color, Quantity_TOC_sRGB
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDataStd import TDataStd_Name
    from OCP.TopLoc import TopLoc_Location
    from OCP.XCAFDoc import XCAFDoc_ColorType, XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

    document = _empty_document()
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    XCAFDoc_ShapeTool.SetAutoNaming_s(False)

    def call(label: Any, value: str) -> None:
        TDataStd_Name.Set_s(label, TCollection_ExtendedString(value, True))

    root = shapes.NewShape() if len(bodies) > 1 else None
    if root is not None:
        call(root, name)
    for body in bodies:
        shape = getattr(body.solid, "wrapped", body.solid)
        place = shape.Location()
        own = shape.Located(TopLoc_Location()) if root is not None else _in_place(shape)
        label = shapes.AddShape(own, False, False)
        call(label, body.name)
        if body.colour is not None:
            tone = Quantity_Color(*body.colour, Quantity_TOC_sRGB)
            colours.SetColor(label, tone, XCAFDoc_ColorType.XCAFDoc_ColorGen)
        if root is not None:
            call(shapes.AddComponent(root, label, place), body.name)
    shapes.UpdateAssemblies()
    return document


def _in_place(shape: Any) -> Any:
    """A shape alone in a file carries its place in its geometry: else a nameless product is put round it."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
    from OCP.TopLoc import TopLoc_Location

    place = shape.Location()
    if place.IsIdentity():
        return shape
    return BRepBuilderAPI_Transform(shape.Located(TopLoc_Location()), place.Transformation(), True).Shape()


def _solids_in(document: Any) -> Iterator[Body]:
    from OCP.Quantity import Quantity_Color, Quantity_TOC_sRGB
    from OCP.TDataStd import TDataStd_Name
    from OCP.TDF import TDF_Label, TDF_LabelSequence
    from OCP.TopAbs import TopAbs_SOLID
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopLoc import TopLoc_Location
    from OCP.TopoDS import TopoDS
    from OCP.XCAFDoc import XCAFDoc_ColorType, XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())

    def name_of(label: Any) -> str:
        found = TDataStd_Name()
        return found.Get().ToExtString() if label.FindAttribute(TDataStd_Name.GetID_s(), found) else ""

    def colour_of(label: Any, shape: Any) -> Colour | None:
        tone = Quantity_Color()
        for kind in (XCAFDoc_ColorType.XCAFDoc_ColorGen, XCAFDoc_ColorType.XCAFDoc_ColorSurf):
            if XCAFDoc_ShapeTool and (
                colours.GetColor(shape, kind, tone) or colours.GetColor_s(label, kind, tone)
            ):
                red, green, blue = tone.Values(Quantity_TOC_sRGB)
                return (red, green, blue)
        return None

    def walk(label: Any, place: Any, name: str) -> Iterator[Body]:
        here = place.Multiplied(XCAFDoc_ShapeTool.GetLocation_s(label))
        if XCAFDoc_ShapeTool.IsReference_s(label):
            target = TDF_Label()
            XCAFDoc_ShapeTool.GetReferredShape_s(label, target)
            yield from walk(target, here, name_of(target) or name_of(label))
        elif XCAFDoc_ShapeTool.IsAssembly_s(label):
            parts = TDF_LabelSequence()
            XCAFDoc_ShapeTool.GetComponents_s(label, parts)
            for i in range(1, parts.Length() + 1):
                yield from walk(parts.Value(i), here, name_of(parts.Value(i)))
        else:
            shape = XCAFDoc_ShapeTool.GetShape_s(label)
            colour = colour_of(label, shape)
            solids = TopExp_Explorer(shape.Moved(place), TopAbs_SOLID)
            while solids.More():
                yield Body(name, TopoDS.Solid_s(solids.Current()), colour)
                solids.Next()

    roots = TDF_LabelSequence()
    shapes.GetFreeShapes(roots)
    for i in range(1, roots.Length() + 1):
        yield from walk(roots.Value(i), TopLoc_Location(), name_of(roots.Value(i)))
