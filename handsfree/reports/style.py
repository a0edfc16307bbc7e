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
    "s1": "#7db8ee", "s2": "#f0a36b", "s3": "#8fd18f", "band": "#38331f", "flag": "#ff9d94",
}  # fmt: skip
"""Role -> colour."""


def _variables(colours: dict[str, str]) -> str:
    return "".join(f"--{role}:{value};" for role, value in colours.items())


STYLESHEET = f"""
:root{{{_variables(LIGHT)}color-scheme:light dark}}
@media (prefers-color-scheme:dark){{:root{{{_variables(DARK)}}}}}
*{{box-sizing:border-box}}
body{{margin:0 auto;padding:1.5rem 1rem 4rem;max-width:60rem;background:var(--ground);color:var(--text);
font:1rem/1.5 Georgia,"Times New Roman",serif;overflow-wrap:break-word}}
h1{{font-size:1.9rem;line-height:1.2;margin:.2rem 0}}
h2{{font-size:1.4rem;line-height:1.25;margin:2.6rem 0 .6rem;padding-bottom:.2rem;
border-bottom:2px solid var(--accent)}}
h3{{font-size:1.15rem;margin:1.6rem 0 .3rem}}h4{{font-size:1rem;margin:1.2rem 0 .3rem}}
p,li,dl{{max-width:46rem}}
.meta,.soft{{color:var(--soft)}}.meta{{margin:.2rem 0}}
.lead{{font-size:1.15rem}}
a{{color:var(--accent)}}
nav ol{{columns:18rem;padding-left:1.6rem;margin:1rem 0}}nav li{{break-inside:avoid}}
dt{{font-weight:600}}dd{{margin:0 0 .3rem 1.2rem}}
table{{border-collapse:collapse;width:100%;margin:.6rem 0 1rem;font:.9rem/1.35 system-ui,sans-serif;
font-variant-numeric:tabular-nums}}
caption{{text-align:left;color:var(--soft);padding:.3rem 0}}
th,td{{padding:.28rem .5rem;text-align:left;vertical-align:top;border-bottom:1px solid var(--rule)}}
thead th{{border-bottom:2px solid var(--soft);vertical-align:bottom}}
.n{{text-align:right;white-space:nowrap}}.n+:not(.n){{padding-left:1.2rem}}thead .n{{white-space:normal}}
tr:has(+.told)>td{{border-bottom:0;padding-bottom:0}}.told td{{color:var(--soft);padding-top:.1rem}}
time{{white-space:nowrap}}
.wide{{overflow-x:auto}}
.flag{{color:var(--flag);font-weight:600}}
.box{{border:1px solid var(--rule);border-left:.4rem solid var(--accent);padding:.5rem .9rem;margin:1rem 0}}
ul.box{{padding-left:2rem}}.box ul{{margin:.2rem 0 0;padding-left:1.1rem}}
.good{{border-left-color:var(--s3)}}.bad{{border-left-color:var(--flag)}}
.keys{{columns:9.5rem;list-style:none;padding:0;max-width:none;font:.9rem/1.5 system-ui,sans-serif;
font-variant-numeric:tabular-nums}}.keys li{{break-inside:avoid}}
code{{font-size:.85em;overflow-wrap:anywhere}}
.words{{overflow-wrap:anywhere;unicode-bidi:isolate;white-space:pre-wrap}}
figure{{margin:1rem 0}}figcaption{{margin-top:.2rem}}
svg{{width:100%;height:auto;display:block}}
img{{display:block;max-width:100%;max-height:34rem}}
audio{{display:block;max-width:100%}}
.pictures{{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,20rem),1fr));gap:0 1rem}}
.key{{display:inline-flex;align-items:center;gap:.3rem;margin-right:1.1rem;font:.85rem system-ui,sans-serif}}
.key svg{{width:1rem;height:.9rem}}
svg text{{font:12px system-ui,sans-serif;fill:var(--soft)}}svg .panel,svg .named{{fill:var(--text);font-weight:600}}
.grid{{stroke:var(--rule);stroke-width:.6}}.zero{{stroke:var(--soft);stroke-width:1.2}}
.ring{{fill:none;stroke:var(--flag);stroke-width:1.8}}
.band{{fill:var(--band)}}
.l{{fill:none;stroke-width:1.6}}.stem{{stroke-width:1.4}}
.s1{{stroke:var(--s1)}}.s2{{stroke:var(--s2)}}.s3{{stroke:var(--s3)}}
.l.s2{{stroke-dasharray:6 3}}.l.s3{{stroke-dasharray:2 3}}
.m.s1{{fill:var(--s1)}}.m.s2{{fill:var(--s2)}}.m.s3{{fill:var(--s3)}}.m{{stroke-width:.5}}
@media (max-width:40rem){{h1{{font-size:1.5rem}}table{{font-size:.75rem}}.keys{{font-size:.78rem}}
th,td{{padding:.25rem .12rem}}th{{font-size:.68rem}}td.n{{white-space:normal}}.n+:not(.n){{padding-left:.5rem}}
svg text{{font-size:26px}}.m{{stroke-width:3}}.l,.stem{{stroke-width:2.4}}.ring{{stroke-width:4}}
.key svg .m{{stroke-width:.5}}
.words-below thead{{display:none}}
.words-below tr{{display:flex;flex-wrap:wrap;gap:0 .6rem;padding:.25rem 0;border-bottom:1px solid var(--rule)}}
.words-below td{{border:0;padding:0;text-align:left}}.words-below td:not(.n){{padding-left:0}}
.words-below td:nth-child(5){{margin-left:auto}}
.words-below td:nth-child(6){{flex-basis:100%;color:var(--soft)}}
.words-below td:nth-child(7)::before{{content:"sureness "}}.words-below td:nth-child(7)::after{{content:","}}}}
@media (forced-colors:active){{svg text,svg .panel,svg .named{{fill:CanvasText}}.grid{{stroke:GrayText}}
.zero,.s1,.s2,.s3{{stroke:CanvasText}}.m.s1,.m.s2,.m.s3{{fill:CanvasText}}.ring{{stroke:Highlight}}
.band{{fill:Canvas;stroke:GrayText;stroke-dasharray:4 4}}}}
@media print{{:root{{{_variables(LIGHT)}color-scheme:light}}
body{{max-width:none;padding:0;font-size:10.5pt;background:none}}table,.keys{{font-size:8.5pt}}
th,td{{padding:.15rem .4rem}}h2,h3,h4,caption{{break-after:avoid}}h2{{margin-top:1.6rem}}
h2+p,h3+p,h4+p{{break-after:avoid}}
figure,.box,.short,dl,tr,tbody:has(.told){{break-inside:avoid}}thead{{display:table-header-group}}p,li{{orphans:3;widows:3}}
.wide{{overflow:visible}}a{{color:inherit;text-decoration:none}}img{{max-height:9cm}}
.pictures{{grid-template-columns:1fr 1fr}}.sound,audio{{display:none}}}}
@page{{margin:16mm;@bottom-center{{content:counter(page) " / " counter(pages);font:9pt sans-serif}}}}
"""
