"""How the report looks: one stylesheet, embedded, for paper, screen and phone, light and dark.

Text and line colours keep a contrast of at least 4.5 to 1 (WCAG 2 level AA) against their grounds in both schemes; a
test works the ratios out from the values below.
"""

from __future__ import annotations

LIGHT = {
    "ground": "#fdfcf9", "text": "#1d2327", "soft": "#4f5a61", "rule": "#c9c6bd", "accent": "#6b3f12",
    "s1": "#0b4f8a", "s2": "#9a3a00", "s3": "#2d6a2e", "band": "#e9e2cf", "flag": "#8a1c1c",
}  # fmt: skip
DARK = {
    "ground": "#15191c", "text": "#ece9e2", "soft": "#b3b8ba", "rule": "#41484d", "accent": "#e0b074",
    "s1": "#7db8ee", "s2": "#f0a36b", "s3": "#8fd18f", "band": "#2f2c22", "flag": "#ff9d94",
}  # fmt: skip
"""Role -> colour."""


def _variables(colours: dict[str, str]) -> str:
    return "".join(f"--{role}:{value};" for role, value in colours.items())


STYLESHEET = f"""
:root{{{_variables(LIGHT)}color-scheme:light dark}}
@media (prefers-color-scheme:dark){{:root{{{_variables(DARK)}}}}}
*{{box-sizing:border-box}}
body{{margin:0 auto;padding:1.5rem 1rem 4rem;max-width:58rem;background:var(--ground);color:var(--text);
font:1rem/1.5 Georgia,"Times New Roman",serif}}
h1{{font-size:1.9rem;line-height:1.2;margin:.2rem 0}}
h2{{font-size:1.3rem;margin:2.4rem 0 .6rem;border-bottom:2px solid var(--accent);padding-bottom:.2rem}}
h3{{font-size:1.05rem;margin:1.2rem 0 .3rem}}
p,li{{max-width:44rem}}
.meta{{color:var(--soft);margin:.2rem 0}}
.lead{{font-size:1.1rem}}
a{{color:var(--accent)}}
table{{border-collapse:collapse;width:100%;font:.9rem/1.35 system-ui,sans-serif;font-variant-numeric:tabular-nums}}
caption{{text-align:left;color:var(--soft);padding:.3rem 0}}
th,td{{padding:.28rem .5rem;text-align:left;vertical-align:top;border-bottom:1px solid var(--rule)}}
thead th{{border-bottom:2px solid var(--soft)}}
.n{{text-align:right;white-space:nowrap}}
.wide{{overflow-x:auto}}
.why{{min-width:13rem}}
.flag{{color:var(--flag);font-weight:600}}
.box{{border:1px solid var(--rule);border-left:.4rem solid var(--accent);padding:.5rem .9rem;margin:1rem 0}}
code{{font-size:.85em;overflow-wrap:anywhere}}
.words{{overflow-wrap:anywhere;unicode-bidi:isolate;white-space:pre-wrap}}
figure{{margin:1rem 0}}
svg{{width:100%;height:auto;display:block}}
.key{{display:inline-flex;align-items:center;gap:.3rem;margin-right:1.1rem;font:.85rem system-ui,sans-serif}}
.key svg{{width:1rem;height:.9rem}}
svg text{{font:11px system-ui,sans-serif;fill:var(--soft)}}
.grid{{stroke:var(--rule);stroke-width:.6}}
.band{{fill:var(--band)}}
.l{{fill:none;stroke-width:1.6}}
.l.s1{{stroke:var(--s1)}}.l.s2{{stroke:var(--s2);stroke-dasharray:6 3}}.l.s3{{stroke:var(--s3);stroke-dasharray:2 3}}
.m.s1{{fill:var(--s1)}}.m.s2{{fill:var(--s2)}}.m.s3{{fill:var(--s3)}}
@media (max-width:40rem){{h1{{font-size:1.5rem}}th,td{{padding:.25rem .3rem}}svg text{{font-size:20px}}}}
@media print{{:root{{{_variables(LIGHT)}color-scheme:light}}
body{{max-width:none;padding:0;font-size:10.5pt}}h2,h3{{break-after:avoid}}
figure,.box,tr{{break-inside:avoid}}thead{{display:table-header-group}}.wide{{overflow:visible}}a{{color:inherit}}}}
@page{{margin:16mm}}
"""
