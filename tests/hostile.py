"""Texts of a keeper that could pass for something else somewhere, and a description that has them at every place.

One table for all outputs: what is dangerous in one is put through all the others too. Kinds of attack: CWE-79 (pages),
CWE-93 (line ends), CWE-150 (terminals), CWE-1236 (formulas of a spreadsheet), Unicode annex 9 (turned lines).
"""

from __future__ import annotations

#: Stands in every text, so that it can be found again in an output.
MARK = "Hm7"

TEXTS = {
    "script": "<script>window.hit=1</script>",
    "picture": "<img src=x onerror='window.hit=1'>",
    "drawing": "</text></svg><svg onload=window.hit=1>",
    "end of a title": "</title></style></textarea>--></script><script>window.hit=1</script>",
    "attribute": "' onmouseover='window.hit=1' x='",
    "entities": "&lt;script&gt; &#60;b&#62; &amp;amp; &nope;",
    "doctype": "]]><!DOCTYPE a [<!ENTITY b SYSTEM 'file:///etc/passwd'>]>&b;",
    "link": "[press](javascript:window.hit=1) ![eye](http://example.invalid/x.png) <http://example.invalid>",
    "address": "javascript:window.hit=1 data:text/html,<script>window.hit=1</script>",
    "template": "{{ 7*7 }} {% for a in b %} {# c #} ${7*7} #{7*7}",
    "typst": "#let x = 1; #read('/etc/passwd') $a$ `c` *s* _u_ @ref <label> \\u{41} // rest",
    "dot": "a' -> b; } digraph { x [URL='http://example.invalid' label=<<b>x</b>>] \\N \\G \\l",
    "json": "\\', \\u0000 }, { 'hit': true } // */",
    "formula": "=HYPERLINK('http://example.invalid','a')",
    "formula after a sign": "+1+cmd|'/C calc'!A0",
    "formula of a name": "@SUM(1+9)*cmd|'/C calc'!A0",
    "formula after minus": "-2+3+cmd|'/C calc'!A0",
    "formula after a blank": "  =1+1",
    "formula, wide": "＝1+1",
    "kept text": "'=1+1",
    "calendar": "a\\nEND:VEVENT\\nBEGIN:VALARM\\nATTACH:http://example.invalid ;X=y:z, \\\\n",
    "percent": "%s %n %(x)s {0} {name!r} %00",
    "path": "../../../etc/passwd C:\\aux | rm -rf ~ ; $(id) `id` && id",
    "turned line": "abc \u202egnp.exe\u202c \u2066x\u2069 \u200fy \u061c",
    "marks": "Z\u0351\u0352\u0353\u0354\u0355 e\u0301 \u200b\u2060\ufeff \u00ad \U000e0041\U000e0042",
    "letters": "שלום 🔔 Ωμέγα 鐘楼 ﷽",
    "C1": "\u009b31mred\u009d0;title\u009c \u0085 \u2028 \u2029",
    "long": "W" * 300,
}  # fmt: skip
ALLOWED = [text for name, text in TEXTS.items() if name not in ("turned line", "marks", "C1")]
#: All at once that a description may hold.
ALL = " ".join(ALLOWED)
#: A little of each, where the text is to be read.
ODD = "<script>window.hit=1</script> & #let x = 1 \\\\ \\u{41} $a$ {{ 7*7 }} `c` 'q' *s* &amp; שלום 🔔"
# What only the terminal's own texts meet: no description with them is without an error.
CONTROLS = "\x1b[2J\x1b]8;;http://example.invalid\x1b\\press\x1b]8;;\x1b\\ \x1b]0;title\x07 \x08\x08 \x7f \x9b1m \x00"


def clock_of(text: str) -> str:
    """A description that has the text at each place where a keeper writes freely."""
    return f'''countwheel 1

clock "{MARK} {text}"
  place "{MARK} {text}"
    latitude 50.12 °N
    time zone Europe/London
  owner "{text}"
  keeper "{text}"
  maker "{text}"
  wound every Friday
  history """
    {text}
    {MARK}
    """

train going
  arbor barrel
    barrel
      diameter 10 in                      told by "{text}"
      line steel wire rope
      weight 2 cwt                        measured on 2026-05-02 by "{text}"
      parts 2
      fall 34 ft
      turns of line 17
      pulley "{text}"
    wheel great 144
      condition "{text}"
    remark "{text}"
  winding by handle
    mark "{text}"
  arbor centre
    pinion 12
    wheel 64                              counted from "{text}"
    rate once an hour
  arbor escape
    pinion 8
    escape wheel 30

train strike
  strikes hours
  arbor barrel
    barrel
    wheel great 78
    lifting pins 20
    pinion count 20
  count wheel
    count 20 drives 78
    cut for hours
  hammer
    remark "{text}"

bell "{MARK} {text}"
  strikes G

dial
  remark "{text}"

care
  oil pivots every 6 months by "{text}"

rota
  from 2026-04-20
  winder "{text}"
    away 2026-05-01 to 2026-05-20 for "{text}"
  winder "{MARK} the other"

contact "{text}"
  telephone "{text}"
  address "{text}"

procedure winding "{text}"
procedure other "{text}"

log
  2026-05-02 08:00   found 3 s slow   note "{text}"   by "{text}"
  2026-05-09 08:00   found 12 s fast   by "{text}"   oiled "{text}"
'''
