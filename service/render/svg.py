"""Write a sheet as SVG: no script, no outside request, light and dark, told to screen readers.

The drawing has no ``viewBox``: it is as wide as its place, up to a reading width, and as high as its
marks; where it is wide, plots stand beside their text. Shapes, not colours alone, tell what lies
inside, outside or may lie either way.

Source: SVG 2 (W3C), Accessible Rich Internet Applications 1.2 (role ``img``), WCAG 2.2 for contrast.
"""

from __future__ import annotations

import re
from xml.sax.saxutils import escape, quoteattr

from service.render.sheet import (
    LEFT,
    PLOT_LEFT,
    PLOT_RIGHT,
    RIGHT,
    STYLES,
    WIDE,
    Bar,
    Mark,
    Placed,
    Shape,
    Sheet,
    Words,
)

#: Colours by what they stand for, on light and on dark ground.
LIGHT: dict[str, str] = {
    "ground": "#fbfaf6", "ink": "#24211c", "muted": "#5c564c", "track": "#e9e4d9",
    "range": "#cfe3d6", "edge": "#4c7f66", "good": "#17603f", "doubt": "#8a5300", "bad": "#a8201a",
    "one": "#2d5f8b", "other": "#7d4b8f", "on": "#ffffff", "faint": "#cdc6b8",
}  # fmt: skip
DARK: dict[str, str] = {
    "ground": "#1c1a17", "ink": "#f3efe7", "muted": "#bdb5a8", "track": "#38342e",
    "range": "#2c4f3f", "edge": "#7db699", "good": "#8fd6b1", "doubt": "#f2bb62", "bad": "#ff9288",
    "one": "#8dbde6", "other": "#d3a6e2", "on": "#16130f", "faint": "#57514a",
}  # fmt: skip

#: Outlines about the origin, in pixels: path data.
SHAPES: dict[str, str] = {
    "dot": "M-6,0a6,6 0 1,0 12,0a6,6 0 1,0 -12,0z",
    "diamond": "M0,-8L8,0L0,8L-8,0z",
    "left": "M-10,0L6,-8.5L6,8.5z",
    "right": "M10,0L-6,-8.5L-6,8.5z",
    "far-left": "M-13,0L-5,-8.5L-5,8.5zM-4,0L4,-8.5L4,8.5z",
    "far-right": "M13,0L5,-8.5L5,8.5zM4,0L-4,-8.5L-4,8.5z",
    "tick": "M-1,-8h2v16h-2z",
    "cap": "M-1,-5h2v10h-2z",
    "square": "M-5,-5h10v10h-10z",
}

#: Which colour fills a kind of text, bar or shape.
FILLS: dict[str, str] = {
    "title": "ink", "subtitle": "muted", "heading": "ink", "name": "ink", "value": "ink",
    "caption": "muted", "numeral": "on",
    "track": "track", "range": "range", "edge": "edge", "rule": "faint", "band": "ink",
    "good": "good", "doubt": "doubt", "bad": "bad", "one": "one", "other": "other",
    "told-good": "good", "told-doubt": "doubt", "told-bad": "bad",
}  # fmt: skip

#: Units: pixels.
WIDEST = 800
FOOT = 16
_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def _style() -> str:
    """Write the style sheet, of this drawing alone: a class a kind, colours by the reader's scheme.

    What ``use`` shows knows no ancestor outside it, so that plots have a class of their own.
    """
    kinds = "".join(
        f".sheet .{kind},.sheet-plot .{kind}{{fill:var(--{colour})}}" for kind, colour in FILLS.items()
    )
    sizes = "".join(
        f".sheet .{kind}{{font-size:{size:g}px;font-weight:{600 if bold else 400}}}"
        for kind, (size, bold) in STYLES.items()
    )
    return (
        f".sheet{{{_variables(LIGHT)}}}"
        f"@media (prefers-color-scheme:dark){{.sheet{{{_variables(DARK)}}}}}"
        f".sheet{{display:block;max-width:{WIDEST}px;background:var(--ground);color-scheme:light dark;"
        "font-family:system-ui,sans-serif;font-variant-numeric:tabular-nums}"
        f".sheet .wide{{display:none}}@media (min-width:{WIDE:g}px){{"
        ".sheet{height:var(--high)}.sheet .wide{display:inline}.sheet .narrow{display:none}"
        ".sheet .up{transform:translateY(calc(0px - var(--lift)))}}"
        ".sheet .ground{fill:var(--ground)}"
        ".sheet .halo,.sheet-plot .halo{paint-order:stroke;stroke:var(--ground);stroke-width:3px;"
        "stroke-linejoin:round}"
        f"{kinds}{sizes}"
    )


def _variables(colours: dict[str, str]) -> str:
    return "".join(f"--{name}:{colour};" for name, colour in colours.items())


_STYLE = _style()


def clean(text: str) -> str:
    """Put a replacement sign for what XML 1.0 (section 2.2) cannot hold, and escape the rest."""
    return escape(_NOT_XML.sub("�", text))


def write_svg(sheet: Sheet) -> bytes:
    """Write a sheet as an SVG document in UTF-8."""
    height, wide = round(sheet.y + FOOT), round(sheet.y - sheet.lift + FOOT)
    title, told = f"{sheet.id}-title", f"{sheet.id}-desc"
    parts = [
        '<?xml version="1.0" encoding="UTF-8"?>\n',
        '<svg xmlns="http://www.w3.org/2000/svg" class="sheet" width="100%"',
        f' height="{height}" style="--high:{wide}px" role="img" aria-labelledby="{title} {told}">\n',
        f'<title id="{title}">{clean(sheet.title)}</title>\n',
        f'<desc id="{told}">{clean(" ".join(sheet.told))}</desc>\n',
        f"<style>{_STYLE}</style>\n",
        f'<rect class="ground" width="100%" height="100%" fill="{LIGHT["ground"]}"/>\n',
        *(_placed(placed, f"{sheet.id}-{place}") for place, placed in enumerate(sheet.placed)),
        "</svg>\n",
    ]
    return "".join(parts).encode()


def _placed(placed: Placed, name: str) -> str:
    """Write marks that move together; ``name`` is an id for them."""
    drawn = "".join(_mark(mark) for mark in placed.marks)
    if not placed.plot:
        return f"{_moved(drawn, placed.only, placed.lift)}\n"
    narrow, wide = _plot(name, LEFT, RIGHT), _plot(name, PLOT_LEFT, PLOT_RIGHT)
    defined = f'<defs><g id="{name}" class="sheet-plot">{drawn}</g></defs>'
    return f"{defined}{_moved(narrow, 'narrow', 0.0)}{_moved(wide, 'wide', placed.lift)}\n"


def _plot(name: str, left: float, right: float) -> str:
    """Show marks in a part of the sheet, whose width their percents are of."""
    at = f'x="{left:g}%" width="{right - left:g}%"'
    return f'<svg {at} overflow="visible"><use href="#{name}"/></svg>'


def _moved(drawn: str, only: str, lift: float) -> str:
    """Say of marks on which sheets they stand, and by how much the wide one lifts them."""
    kinds = " ".join(kind for kind in ("up" if lift else "", only) if kind)
    style = f' style="--lift:{lift:.6g}px"' if lift else ""
    return f'<g class="{kinds}"{style}>{drawn}</g>' if kinds else drawn


def _mark(mark: Mark) -> str:
    if isinstance(mark, Words):
        return _words(mark)
    if isinstance(mark, Bar):
        return _bar(mark)
    return _shape(mark)


def _kind(kind: str, more: str = "") -> str:
    """Write a mark's class, and its colour for readers that know no style sheets."""
    return f'class="{kind}{more}" fill="{LIGHT[FILLS[kind]]}"'


def _words(mark: Words) -> str:
    anchor = "" if mark.anchor == "start" else f" text-anchor={quoteattr(mark.anchor)}"
    beside = f' dx="{mark.beside:g}"' if mark.beside else ""
    at = f'x="{mark.x:.6g}%" y="{mark.y:.6g}"{beside}'
    return f"<text {_kind(mark.kind)} {at}{anchor}>{clean(mark.text)}</text>"


def _bar(mark: Bar) -> str:
    at = f'x="{mark.left:.6g}%" y="{mark.y:.6g}" width="{max(0.0, mark.right - mark.left):.6g}%"'
    radius = f' rx="{mark.radius:.6g}"' if mark.radius else ""
    return f'<rect {_kind(mark.kind)} {at} height="{mark.height:.6g}"{radius}/>'


def _shape(mark: Shape) -> str:
    halo = " halo" if mark.kind in ("good", "doubt", "bad") else ""
    beside = f' transform="translate({mark.beside:g})"' if mark.beside else ""
    path = f'<path {_kind(mark.kind, halo)}{beside} d="{SHAPES[mark.name]}"/>'
    return f'<svg x="{mark.x:.6g}%" y="{mark.y:.6g}" overflow="visible">{path}</svg>'
