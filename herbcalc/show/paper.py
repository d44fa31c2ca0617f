"""Floor 5. The paper that question cards and the start page are written on: one style for both."""

from __future__ import annotations

from html import escape

from herbcalc.show.palette import css

_STYLE = """
.herb-card{background:var(--herb-ground);color:var(--herb-ink);font-family:var(--herb-font);font-size:16px;
 line-height:1.5;padding:14px 20px 18px;border:1px solid var(--herb-rule);border-radius:6px;max-width:50em;
 box-sizing:border-box;overflow-wrap:anywhere}
.herb-card>*{margin:6px 0}
.herb-card h3{font-size:18px;margin:0 0 6px;color:var(--herb-ink)}
.herb-card p{margin:0 0 8px}
.herb-card .herb-quiet{color:var(--herb-quiet);font-size:15px}
.herb-card .herb-prompt{white-space:pre-line}
.herb-card .herb-told{border-left:6px solid var(--herb-curve);background:var(--herb-card);padding:8px 14px}
.herb-card .herb-told:empty{display:none}
.herb-card .herb-told strong{font-size:17px}
.herb-card ol,.herb-card ul{margin:4px 0 8px 1.4em;padding:0}
.herb-card pre{white-space:pre-wrap;overflow-wrap:anywhere;background:var(--herb-card);color:var(--herb-ink);
 padding:8px 12px;font-size:14px;margin:6px 0}
.herb-card table{border-collapse:collapse;font-size:15px;margin:6px 0;color:var(--herb-ink)}
.herb-card th,.herb-card td{text-align:left;vertical-align:top;padding:4px 12px 4px 0;border:0;
 border-bottom:1px solid var(--herb-rule);background:none;color:inherit;white-space:normal;max-width:none}
.herb-card summary{cursor:pointer;font-weight:bold}
.herb-card a{color:var(--herb-curve);text-decoration:underline}
.herb-card .widget-html-content{font-size:inherit;line-height:inherit;align-self:auto;white-space:normal}
.herb-card .widget-label,.herb-card .widget-radio-box label,.herb-card .widget-checkbox label{color:var(--herb-ink);
 font-size:16px;font-family:var(--herb-font);white-space:normal;height:auto;line-height:1.5;overflow:visible}
.herb-card .widget-inline-hbox{height:auto;flex-wrap:wrap;width:auto;align-items:center}
.herb-card .widget-inline-hbox .widget-label{text-align:left;max-width:none;width:auto;flex:0 0 auto;
 margin-right:10px}
.herb-card .widget-radio-box{width:auto;max-width:100%;margin:0;flex-wrap:wrap}
.herb-card .widget-radio-box label{display:flex;align-items:flex-start;gap:8px;margin:2px 22px 2px 0;width:auto}
.herb-card .widget-radio-box input{margin:5px 0 0;flex:0 0 auto;width:18px;height:18px;accent-color:var(--herb-curve)}
.herb-card .widget-checkbox{width:auto}
.herb-card .widget-checkbox input{width:18px;height:18px;margin-right:8px;accent-color:var(--herb-curve)}
.herb-card input[type=text]{background:#fffdf8;color:#2b2420;border:1.5px solid var(--herb-rule);border-radius:4px;
 font-size:17px;font-family:var(--herb-font);height:36px;padding:4px 10px;box-sizing:border-box}
.herb-card .herb-short{width:auto}
.herb-card .herb-short input[type=text]{max-width:14em}
.herb-card .herb-long{width:100%}
.herb-card ul.herb-lines{list-style:none;margin-left:0}
.herb-card button.jupyter-button{background:var(--herb-card);color:var(--herb-ink);
 border:1.5px solid var(--herb-rule);
 border-radius:4px;font-size:16px;font-family:var(--herb-font);height:auto;min-height:36px;line-height:1.4;
 padding:5px 16px;box-shadow:none;white-space:normal}
.herb-card button.jupyter-button.herb-first{background:var(--herb-curve);color:var(--herb-ground);
 border-color:var(--herb-curve)}
.herb-card button.jupyter-button:hover{border-color:var(--herb-ink)}
.herb-card :focus-visible{outline:3px solid var(--herb-focus);outline-offset:2px}
"""


def style() -> str:
    """The `<style>` of a card, colours included."""
    return f"<style>{css().replace('.herb-panel', '.herb-card')}{_STYLE}</style>"


def told(lines: list[str], list_of: list[str] | None = None) -> str:
    """What was answered, for eye and ear: the first line stands out, the steps of `list_of` are numbered below."""
    if not lines:
        return ""
    first, *rest = (escape(line) for line in lines)
    steps = "".join(f"<li>{escape(step)}</li>" for step in list_of or [])
    return (
        f'<div class="herb-told" role="status"><p><strong>{first}</strong></p>'
        + "".join(f"<p>{line}</p>" for line in rest)
        + (f"<ol>{steps}</ol>" if steps else "")
        + "</div>"
    )


def unfolding(title: str, first: str, heads: tuple[str, str], rows: list[tuple[str, str]]) -> str:
    """A title that unfolds, by mouse or by keyboard, to a sentence and a table of two columns."""
    head = "".join(f"<th>{escape(text)}</th>" for text in heads)
    body = "".join(f"<tr><td>{escape(a)}</td><td>{escape(b)}</td></tr>" for a, b in rows)
    return (
        f"<details><summary>{escape(title)}</summary><p>{escape(first)}</p>"
        f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></details>"
    )
