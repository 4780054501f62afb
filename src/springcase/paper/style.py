"""The style sheet of the bench sheet's web page: system colours on screen, black on paper."""

from __future__ import annotations

from typing import Final

STYLE: Final = """\
:root { color-scheme: light dark; font: 18px/1.35 Georgia, "Times New Roman", serif; }
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 62rem; padding: 1rem; background: Canvas; color: CanvasText; }
h1 { font-size: 1.6rem; margin: 0 0 .5rem; }
h2 { font-size: 1.35rem; margin: 1.2rem 0 0; border-bottom: 3px solid currentColor; }
h3 { font-size: 1.1rem; margin: 1rem 0 .2rem; }
p { margin: 0; }
a { color: LinkText; }
a:focus-visible, input:focus-visible { outline: 4px solid Highlight; outline-offset: 2px; }
nav { margin-bottom: 1.5rem; }
nav li { padding: .25rem 0; }
.page { border-top: 4px solid currentColor; padding: .4rem 0 2rem; }
.head, .page > footer { display: flex; flex-wrap: wrap; justify-content: space-between;
  gap: 0 1rem; }
.head { font-size: 1.15rem; }
.page > footer { border-top: 3px solid currentColor; margin-top: 1rem; font-size: .85rem;
  overflow-wrap: anywhere; }
.page > footer p:first-child { font-weight: bold; width: 100%; }
ul.lines, ul.pairs { list-style: none; margin: 0; padding: 0; }
ul.pairs { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(22rem, 100%), 1fr));
  column-gap: 1rem; }
li.act, li.caution, li.note { display: flex; flex-wrap: wrap; gap: .3rem .8rem; align-items: center;
  padding: .45rem 0; border-bottom: 1px solid currentColor; overflow-wrap: anywhere; }
li.caution { border-bottom: 0; }
li.caution p { border: 4px solid currentColor; padding: .35rem .6rem; flex: 1 1 16rem; }
li.note p { flex: 1 1 16rem; }
li.note p::before { content: "\\25B6\\00A0"; }
.number { font: bold 1rem/1.2 monospace; min-width: 3.2ch; }
.do { flex: 1 1 14rem; }
.detail, .tool { font-size: .95rem; }
.tool { flex: 0 1 9rem; }
.pairs .tool { flex: 0 1 auto; }
.stack { border: 2px solid currentColor; border-radius: .3rem; padding: 0 .35rem;
  font: bold 1rem/1.3 monospace; white-space: nowrap; }
.fill { display: flex; flex-wrap: wrap; gap: .4rem .8rem; align-items: center;
  justify-content: flex-end; margin-left: auto; max-width: 26rem; }
.pairs .fill { flex: 0 1 auto; }
.torque { text-align: right; }
.torque b { font: bold 2.2rem/1 monospace; }
.torque b.unit { font-size: 1.3rem; }
.torque span:last-child { display: block; font-size: .95rem; }
.reading { display: flex; align-items: center; gap: .4rem; }
input { accent-color: auto; }
input[type="text"] { font: inherit; color: FieldText; background: Field;
  border: 2px solid currentColor;
  width: 9rem; max-width: 100%; min-height: 2.4rem; padding: .2rem .4rem; }
input[type="checkbox"], input[type="radio"] { appearance: none; width: 1.9rem; height: 1.9rem;
  flex: none; margin: 0; border: 3px solid currentColor; background: Canvas; color: CanvasText; }
input:checked { background: linear-gradient(45deg, transparent 42%, CanvasText 42%, CanvasText 58%,
  transparent 58%), Canvas; }
input[type="radio"]:checked { background: CanvasText; box-shadow: inset 0 0 0 4px Canvas; }
@media (forced-colors: active) {
  input[type="checkbox"], input[type="radio"] { appearance: auto; }
}
.ticks { display: flex; flex-wrap: wrap; gap: .5rem; }
fieldset { border: 0; margin: 0; padding: 0; display: flex; gap: .9rem; }
fieldset label { display: flex; align-items: center; gap: .35rem; min-height: 2.4rem; }
dl.facts { display: grid; gap: .15rem 1.2rem; margin: .4rem 0; }
dl.columns-2 { grid-template-columns: repeat(auto-fill, minmax(min(22rem, 100%), 1fr)); }
dl.facts > div { display: grid; grid-template-columns: minmax(8rem, 12rem) 1fr; gap: .6rem; }
dl.facts dd { margin: 0; font-weight: bold; overflow-wrap: anywhere; }
dl.facts input { width: 100%; }
dl.boxed { border: 4px solid currentColor; padding: .4rem .6rem; }
figure { margin: .4rem 0; text-align: center; }
figure img { background: #fff; max-width: 100%; }
.group { display: grid; grid-template-columns: 15rem 1fr; gap: 1rem;
  border-bottom: 1px solid currentColor; }
.group figure img { width: 100%; }
.group figcaption { font-weight: bold; }
.act > figure img { width: 6.5rem; display: block; }
figure.whole img { width: 100%; }
.unseen { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%);
  white-space: nowrap; }
@media (max-width: 40rem) { .group { grid-template-columns: 1fr; } }
@media print {
  @page { size: A4; margin: 8mm 10mm; }
  :root { color-scheme: light; font-size: 11pt; line-height: 1.15; }
  body { max-width: none; padding: 0; background: #fff; color: #000; }
  body > header, nav { display: none; }
  .page { break-after: page; border: 0; padding: 0; }
  .page:last-child { break-after: auto; }
  .head { border-bottom: 1.4pt solid #000; }
  h2 { margin: .35rem 0 0; font-size: 14pt; }
  h3 { margin: .3rem 0 0; font-size: 11pt; }
  li.act, li.caution, li.note { padding: 1.1mm 0; gap: .2rem .6rem; }
  li.caution p { border-width: 2pt; padding: .8mm 2mm; }
  li, .group, dl, figure { break-inside: avoid; }
  li.caution { break-after: avoid; }
  dl.facts { gap: .7mm 3mm; margin: .8mm 0; }
  dl.columns-2, ul.pairs { grid-template-columns: 1fr 1fr; }
  dl.facts > div { grid-template-columns: 38mm 1fr; }
  .detail, .torque span:last-child { font-size: 11pt; }
  .torque b { font-size: 22pt; }
  .torque b.unit { font-size: 14pt; }
  .group { grid-template-columns: 50mm 1fr; }
  .fill { gap: .2rem .5rem; max-width: 66mm; }
  .tool { flex-basis: 34mm; }
  input { background: #fff; color: #000; border-color: #000; }
  input[type="text"] { min-height: 8mm; width: 30mm; }
  .pairs input[type="text"] { width: 24mm; }
  .facts input[type="text"], .pairs input[type="text"] { min-height: 6.6mm; padding: 0 1mm; }
  .pairs li.act { padding: .6mm 0; }
  input[type="checkbox"], input[type="radio"] { width: 6.4mm; height: 6.4mm; border-width: 1.4pt; }
  .ticks { gap: 1.6mm; }
  .do { flex-basis: 40mm; }
  .act > figure { margin: 0; }
  .act > figure img { width: 21mm; }
  .page > footer { margin-top: 1mm; font-size: 8.5pt; }
  figure.whole { margin: 0; }
  figure.whole img { height: 238mm; }
}
"""
