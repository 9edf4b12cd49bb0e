"""A document as one HTML file for a tablet in the shop: no script, nothing from elsewhere, prints as the PDF. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from planner.paper.ground.drawing import DASHES, Drawing, Stroke, Words
from planner.paper.ground.sizes import Size
from planner.paper.ground.tree import (
    LARGE,
    NUMBER,
    PLAIN,
    SMALL,
    STRONG,
    Blank,
    Block,
    Cards,
    Caution,
    Cell,
    Document,
    Figure,
    Heading,
    NewPage,
    Para,
    Says,
    Table,
    Text,
    Tick,
)
from planner.telling.looks import literal

_STYLE = """
*{box-sizing:border-box}
body{font:1.35rem/1.45 "DejaVu Sans",Verdana,sans-serif;color:#000;background:#fff;
  max-width:70rem;margin:0 auto;padding:1rem}
h1{font-size:2rem;margin:.2em 0}h2{font-size:1.6rem}h3{font-size:1.35rem}
h2,h3{break-after:avoid}
p{margin:.4em 0}td p{margin:.15em 0}
table{border-collapse:collapse;width:100%;margin:.6em 0}
th,td{border:1px solid #000;padding:.35em .5em;text-align:left;vertical-align:top}
thead{display:table-header-group}
tr,.caution,.card,svg,p{break-inside:avoid}
.within td{font-weight:bold;border-top:3px solid #000}
.caution{border:3px solid #000;padding:.4em .7em;margin:.5em 0;font-weight:bold}
.number{font-size:1.5em;font-weight:bold;white-space:nowrap}
.large{font-size:1.2em}
.small{font-size:.8em}
.tick{margin-right:.7em}.tick b{font-size:1.5em;line-height:1}
.short{white-space:nowrap}.blank i{display:inline-block;border-bottom:2px solid #000;height:1.2em;margin:0 .3em}
.cards{display:flex;flex-wrap:wrap}.card{border:2px dashed #000;padding:1em}
.new{break-before:page}.alone{break-before:page;break-after:page}
.drawing{overflow-x:auto}svg{display:block}
@media print{body{font-size:10.2pt;line-height:1.3;max-width:none;padding:0}.drawing{overflow:visible}
  h1{font-size:17pt}h2{font-size:14pt}h3{font-size:12pt}h1,h2,h3{margin:.35em 0 .15em}
  p{margin:.25em 0}td p{margin:.05em 0}
  th,td{padding:.2em .4em}table,.caution{margin:.3em 0}.tick b{font-size:1.3em}.caution{padding:.2em .5em}
  .card{padding:.5em}}
"""
_SHORT = 24  # letters that stay on one line with the line to write on
_TAGS = {
    PLAIN: "",
    STRONG: "b",
    NUMBER: 'span class="number"',
    LARGE: 'span class="large"',
    SMALL: 'span class="small"',
}


def write(document: Document, size: Size) -> str:
    """The whole file; printed, it goes onto paper of that size, for which its drawings were laid out."""
    page = f"@page{{size:{size.width:g}mm {size.height:g}mm;margin:{size.bottom:g}mm {size.side:g}mm}}\n"
    title = _text(f"{document.build}: {document.title}")
    body = "".join(_block(block) for block in document.blocks)
    return (
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>{title}</title>'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">"
        f'<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<style>{_STYLE}{page}</style></head>\n<body>\n"
        f"<h1>{_text(document.title)}</h1>\n<p><b>{_text(document.build)}</b></p>\n"
        f'<p class="small">{_text(document.aid)} Made {_text(document.made_says)}.</p>\n{body}</body></html>\n'
    )


def _text(text: str) -> str:
    return escape(literal(text))


def _block(block: Block) -> str:
    match block:
        case Heading(text=text, level=level):
            tag = "h2" if level <= 1 else "h3"
            return f"<{tag}>{_text(text)}</{tag}>\n"
        case Says(para=para):
            return f"<p>{_para(para)}</p>\n"
        case Caution(text=text):
            return f'<p class="caution">! {_text(text)}</p>\n'
        case Table():
            return _table(block)
        case Cards(cards=cards, across=across):
            card = f'<div class="card" style="width:{100 / across:.3f}%">'
            inner = "".join(f"{card}<h3>{_text(each.title)}</h3>{_cell(each.cell)}</div>" for each in cards)
            return f'<div class="cards">{inner}</div>\n'
        case Figure(drawing=drawing, words=words, caption=caption, alone=alone):
            says = "".join(f"<p>{_text(each)}</p>" for each in ([caption] if caption else []))
            kind = ' class="alone"' if alone else ""
            return f'<div{kind}><div class="drawing">{svg(drawing, " ".join(words))}</div>{says}</div>\n'
        case NewPage():
            return '<div class="new"></div>\n'


def _table(table: Table) -> str:
    head = ""
    if any(column.title for column in table.columns):
        head = "<thead><tr>" + "".join(f"<th>{_text(each.title)}</th>" for each in table.columns) + "</tr></thead>"
    whole = sum(column.share for column in table.columns)
    widths = "".join(f'<col style="width:{100 * each.share / whole:.2f}%">' for each in table.columns)
    rows = []
    for row in table.rows:
        left = len(table.columns) - len(row.cells) + 1
        span = f' colspan="{left}"' if left > 1 else ""
        kind = ' class="within"' if row.strong else ""
        cells = [f"<td>{_cell(cell)}</td>" for cell in row.cells[:-1]]
        rows.append(f"<tr{kind}>{''.join(cells)}<td{span}>{_cell(row.cells[-1])}</td></tr>")
    return f"<table><colgroup>{widths}</colgroup>{head}<tbody>{''.join(rows)}</tbody></table>\n"


def _cell(cell: Cell) -> str:
    return "".join(f"<p>{_para(para)}</p>" for para in cell)


def _para(para: Para) -> str:
    return "".join(_inline(part) for part in para)


def _inline(part: Text | Tick | Blank) -> str:
    if isinstance(part, Text):
        tag = _TAGS[part.look]
        return f"<{tag}>{_text(part.text)}</{tag.partition(' ')[0]}>" if tag else _text(part.text)
    if isinstance(part, Tick):
        return f' <span class="tick"><b>{"☑" if part.done else "☐"}</b>\u00a0{_text(part.says)}</span> '
    line = f'<i style="width:{part.mm:g}mm"></i>'
    kind = "blank short" if len(part.says) <= _SHORT else "blank"
    return f' <span class="{kind}">{_text(part.says)}{line}{_text(part.unit)}</span> '


def svg(drawing: Drawing, says: str) -> str:
    """A drawing in its true size, with its words for those who cannot see it."""
    marks = "".join(_marks(drawing.marks))
    size = (
        f'width="{drawing.width:g}mm" height="{drawing.height:g}mm" viewBox="0 0 {drawing.width:g} {drawing.height:g}"'
    )
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img"><title>{_text(says)}</title>{marks}</svg>'


def _marks(marks: Iterable[Stroke | Words]) -> Iterable[str]:
    for mark in marks:
        if isinstance(mark, Stroke):
            points = " ".join(f"{x:.4f},{y:.4f}" for x, y in mark.points)
            dashes = f' stroke-dasharray="{" ".join(map(str, DASHES[mark.dash]))}"' if DASHES[mark.dash] else ""
            fill = "#000" if mark.filled else "none"
            tag = "polygon" if mark.closed else "polyline"
            yield f'<{tag} points="{points}" fill="{fill}" stroke="#000" stroke-width="{mark.mm:g}"{dashes}/>'
        else:
            weight = ' font-weight="bold"' if mark.bold else ""
            turn = f' transform="rotate({-mark.angle:g} {mark.x:.4f} {mark.y:.4f})"' if mark.angle else ""
            yield (
                f'<text x="{mark.x:.4f}" y="{mark.y:.4f}" font-size="{mark.mm:g}" text-anchor="{mark.at}"'
                f"{weight}{turn}>{_text(mark.text)}</text>"
            )
