"""Pace of the solids, measured side by side in one run: `python tests/bench_solids.py`. Nothing is asserted.

1. Writing the whole boat: ours, a plain script that drives the bare kernel writer on the same shapes, and
   the modelling module's own assembly export; taken in turns, processor time, so that other processes do not count.
2. All solid files of the demo boat, cold and warm, against the bare import of the modelling module.
"""

from __future__ import annotations

import io
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent))

BOAT = "saltwhin-31"
RUN = f"""
import sys
from pathlib import Path
from geom import resources
from geom.boat.file import read_boat
from geom.refit import refit
from geom.solids.files import solid_files
solid_files(refit(read_boat(resources.starter_text("{BOAT}").encode(), "{BOAT}")), Path(sys.argv[1]))
"""


def in_turns(cases: dict[str, Callable[[], Any]], times: int = 9) -> dict[str, float]:
    """Return the median processor time of each case [s], all taken in turns."""
    taken: dict[str, list[float]] = {name: [] for name in cases}
    for _ in range(times):
        for name, work in cases.items():
            start = time.process_time()
            work()
            taken[name].append(time.process_time() - start)
    return {name: median(values) for name, values in taken.items()}


def process(code: str, *arguments: str) -> float:
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", code, *arguments], check=True, cwd=Path(__file__).parent.parent)
    return time.perf_counter() - start


def bare_writer(products: Any, instances: Any) -> bytes:
    """The plainest script on the same shapes: an XCAF document with names and colours, written as AP242."""
    from OCP.Interface import Interface_Static
    from OCP.Quantity import Quantity_Color, Quantity_TypeOfColor
    from OCP.STEPCAFControl import STEPCAFControl_Controller, STEPCAFControl_Writer
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDataStd import TDataStd_Name
    from OCP.TDocStd import TDocStd_Document
    from OCP.XCAFDoc import XCAFDoc_ColorType, XCAFDoc_DocumentTool

    from geom.solids.step import location

    STEPCAFControl_Controller.Init_s()
    Interface_Static.SetCVal_s("write.step.schema", "AP242DIS")
    Interface_Static.SetIVal_s("write.surfacecurve.mode", 0)
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    labels = {}
    for product in products:
        label = labels[product.name] = shapes.AddShape(product.shape, False)
        TDataStd_Name.Set_s(label, TCollection_ExtendedString(product.name))
        red, green, blue = (value / 255.0 for value in product.rgb)
        colour = Quantity_Color(red, green, blue, Quantity_TypeOfColor.Quantity_TOC_sRGB)
        colours.SetColor(label, colour, XCAFDoc_ColorType.XCAFDoc_ColorSurf)
    assembly = shapes.NewShape()
    for instance in instances:
        component = shapes.AddComponent(assembly, labels[instance.product], location(instance.frame))
        TDataStd_Name.Set_s(component, TCollection_ExtendedString(instance.name))
    shapes.UpdateAssemblies()
    writer = STEPCAFControl_Writer()
    writer.Transfer(document)
    stream = io.BytesIO()
    writer.WriteStream(stream)
    return stream.getvalue()


def own_export(products: Any, instances: Any, target: Path) -> bytes:
    """The modelling module's own assembly export of the same instances."""
    import cadquery as cq

    assembly = cq.Assembly(name="boat")
    shapes = {product.name: cq.Shape.cast(product.shape) for product in products}
    for instance in instances:
        frame = instance.frame
        place = cq.Location(cq.Plane(frame.origin, frame.x, frame.z))
        assembly.add(shapes[instance.product], name=instance.name.replace(" ", "_"), loc=place)
    assembly.export(str(target))
    return target.read_bytes()


def main() -> None:
    from geom import resources
    from geom.boat.file import read_boat
    from geom.refit import refit
    from geom.solids.assembly import assemble
    from geom.solids.cache import PartCache
    from geom.solids.step import step_bytes

    with tempfile.TemporaryDirectory() as folder:
        whole = assemble(refit(read_boat(resources.starter_text(BOAT).encode("utf-8"), BOAT)))
        products, instances = whole.products(PartCache(None).shape), whole.instances()
        target = Path(folder) / "own.step"
        cases = {
            "ours": lambda: step_bytes(whole.title, products, instances),
            "bare kernel writer": lambda: bare_writer(products, instances),
            "own assembly export": lambda: own_export(products, instances, target),
        }
        print(f"whole boat, {len(products)} products, {len(instances)} instances")
        taken = in_turns(cases)
        ours, size = taken["ours"], len(cases["ours"]())
        for name, work in cases.items():
            bytes_ = len(work())
            print(
                f"  {name:22} {1000 * taken[name]:7.1f} ms  {bytes_ / 1000:8.1f} kB  "
                f"{taken[name] / ours:5.2f} x time of ours, {bytes_ / size:5.2f} x size"
            )
        imports = median(process("import cadquery") for _ in range(3))
        cache = Path(folder) / "cache"
        cold = process(RUN, str(cache))
        warm = median(process(RUN, str(cache)) for _ in range(3))
        print(f"bare import of the modelling module {imports:.2f} s")
        print(f"  solid files, cold {cold:.2f} s = {cold / imports:.2f} x; warm {warm:.2f} s = {warm / imports:.2f} x")


if __name__ == "__main__":
    main()
