#include "page/inside/style.h"

namespace lugwise::page::inside {

// A test works out the contrast of each `color` with the grounds it may stand on, so both are named here and nowhere else.
std::string_view style_sheet() {
  return R"css(
:root {
  color-scheme: light dark;
  --paper: #ffffff; --faint: #f2f0eb; --ink: #1b1b1b; --soft: #4f4f4f; --line: #7d7d7d;
  --good: #0f5c2e; --bad: #9c1515; --unsure: #6d4600;
}
@media screen and (prefers-color-scheme: dark) {
  :root {
    --paper: #171717; --faint: #262626; --ink: #ededed; --soft: #bdbdbd; --line: #8e8e8e;
    --good: #8fdba6; --bad: #ffa39a; --unsure: #f0c36a;
  }
}
* { box-sizing: border-box; }
html { -webkit-text-size-adjust: 100%; text-size-adjust: 100%; }
body {
  margin: 0 auto; padding: 1rem; max-width: 58rem; background: var(--paper); color: var(--ink);
  font: 1rem/1.45 system-ui, "Segoe UI", Roboto, "Liberation Sans", Arial, sans-serif;
  overflow-wrap: anywhere;
}
h1 { font-size: 1.6rem; line-height: 1.2; margin: 0 0 .75rem; }
h2 { font-size: 1.2rem; line-height: 1.25; margin: 2rem 0 .75rem; padding-bottom: .25rem; border-bottom: 2px solid var(--ink); }
h3, h4 { font-size: 1rem; margin: 0; }
p { margin: 0 0 .5rem; max-width: 44rem; }
ul { margin: 0 0 .5rem; padding-left: 1.25rem; }
li { margin-bottom: .4rem; max-width: 44rem; }
dl { margin: 0; }
dd { margin: 0; }
table { border-collapse: collapse; width: 100%; }
.sheet, .sheet > thead, .sheet > tbody, .sheet > tfoot, .sheet > * > tr, .sheet > * > tr > td { display: block; padding: 0; }
.running { display: none; }
.hidden { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
.soft { color: var(--soft); }

.job { display: grid; grid-template-columns: repeat(auto-fit, minmax(10.5rem, 1fr)); gap: .75rem 1rem; margin-bottom: 1rem; }
label { display: flex; align-items: center; gap: .5rem; }
.job label, .wide label { display: block; }
.job label span, .wide label span { display: block; font-size: .875rem; color: var(--soft); }
input[type="text"], textarea {
  font: inherit; color: var(--ink); background: var(--paper); border: 1px solid var(--line); border-radius: 3px;
  padding: .25rem .5rem; min-height: 2.75rem; width: 100%;
}
textarea { display: block; resize: vertical; }
input[type="checkbox"] {
  appearance: none; flex: none; width: 1.75rem; height: 1.75rem; margin: 0; border: 2px solid var(--ink); border-radius: 3px;
  background: var(--paper); color: var(--ink); display: grid; place-content: center;
}
input[type="checkbox"]::before { content: ""; width: .85rem; height: .4rem; margin-top: -.2rem; border: solid transparent; border-width: 0 0 3px 3px; transform: rotate(-45deg); }
input[type="checkbox"]:checked::before { border-color: var(--ink); }
:focus-visible { outline: 3px solid var(--ink); outline-offset: 2px; }

.facts { display: grid; grid-template-columns: max-content 1fr; gap: .15rem 1rem; }
.facts dt { color: var(--soft); }
.caution { border: 2px solid var(--ink); padding: .75rem 1rem .25rem; margin-top: 1.5rem; }
.caution h2 { margin-top: 0; border: 0; padding: 0; }

.before { margin: 1.25rem 0 .5rem; padding: .35rem .75rem; background: var(--faint); border-left: .35rem solid var(--ink); font-weight: 600; max-width: none; }
.step { border: 1px solid var(--line); border-radius: 4px; margin: 0 0 .75rem; padding: .75rem; }
.step > .said { display: grid; grid-template-columns: 2.75rem minmax(0, 1fr); column-gap: .75rem; }
.step > .plain { display: flow-root; }
.number { font-size: 1.35rem; font-weight: 700; line-height: 1.2; text-align: right; }
.drawn > .said { grid-template-columns: 2.75rem minmax(0, 1fr) minmax(0, 20rem); }
.step figure { grid-column: 3; }
.plain figure { float: right; width: 20rem; max-width: 100%; margin: 0 0 .5rem 1rem; }
.shows { display: flex; flex-wrap: wrap; gap: 0 .75rem; align-items: baseline; margin: .5rem 0; }
.shows b { font-size: 1.25rem; font-variant-numeric: tabular-nums; }
.shows .long { font-size: 1rem; }
.signs { list-style: none; padding: 0; font-size: .875rem; line-height: 1.35; }
.signs li { margin-bottom: .2rem; padding-left: 1rem; text-indent: -1rem; }
.notes { font-style: italic; }
.blanks { display: flex; flex-wrap: wrap; align-items: center; gap: .5rem 1.5rem; margin-top: .75rem; }
.step .blanks { padding-left: 3.5rem; }
.blanks label { min-height: 2.75rem; }
.blanks input[type="text"] { width: 9rem; font-size: 1.15rem; }
.wide { display: block; }
figure { margin: 0; }
figure svg { display: block; width: 100%; height: auto; background: #ffffff; border-radius: 3px; }
figcaption { font-size: .8rem; line-height: 1.3; color: var(--soft); margin-top: .25rem; }

.verdict { border: 3px solid currentColor; border-radius: 4px; padding: .75rem 1rem .35rem; font-size: 1.15rem; }
.verdict p:first-child { font-weight: 700; }
.verdict p + p { color: var(--ink); font-size: 1rem; font-weight: 400; }
.good { color: var(--good); }
.bad { color: var(--bad); font-weight: 700; }
.unsure { color: var(--unsure); }
.group { border-top: 1px solid var(--line); padding: .75rem 0; }
h2 + .group { border-top: 0; padding-top: 0; }
.group figure { max-width: 42rem; margin: .75rem 0 .5rem; }
.group ul { list-style: none; padding: 0; }
.share { font-variant-numeric: tabular-nums; font-weight: 700; }

.readings, .plain-table { font-variant-numeric: tabular-nums; }
.readings th, .readings td, .plain-table th, .plain-table td { text-align: left; vertical-align: top; padding: .35rem .6rem .35rem 0; border-bottom: 1px solid var(--line); font-weight: inherit; }
.readings thead th, .plain-table thead th { font-weight: 600; border-bottom: 2px solid var(--ink); }
.readings .setting th { padding-top: .75rem; font-weight: 600; }
.readings .bad { font-weight: 700; }
.readings thead th, .readings td:nth-child(1), .readings td:nth-child(3) { white-space: nowrap; }
.number-cell { text-align: right !important; white-space: nowrap; }
.whole-cell { white-space: nowrap; }
pre { overflow-x: auto; padding: .75rem; background: var(--faint); margin: 0 0 .75rem; font-size: .875rem; }

.keeping:not([hidden]) { display: flex; flex-wrap: wrap; align-items: center; gap: .5rem 1rem; margin-bottom: 1rem; }
button, .button { font: inherit; font-weight: 600; color: var(--ink); background: var(--faint); border: 2px solid var(--ink); border-radius: 3px; padding: .35rem 1rem; min-height: 2.75rem; cursor: pointer; position: relative; }
.button input { position: absolute; inset: 0; width: 100%; opacity: 0; cursor: pointer; }
.button:focus-within { outline: 3px solid var(--ink); outline-offset: 2px; }
#kept { margin: 0; }
.whole figure svg { width: auto; max-width: 100%; margin: 0 auto; }
.key { list-style: none; padding: 0; columns: 17rem; column-gap: 1.5rem; margin-top: .5rem; font-size: .95rem; line-height: 1.3; }
.plain-table td:not(:last-child), .plain-table th:not(:last-child) { overflow-wrap: break-word; }
.key li { break-inside: avoid; margin-bottom: .2rem; padding-left: 1.6rem; text-indent: -1.6rem; max-width: none; }
.key b { display: inline-block; min-width: 1.6rem; text-indent: 0; }
.checklist { font-variant-numeric: tabular-nums; }
.checklist th, .checklist td { text-align: left; vertical-align: top; padding: .4rem .5rem .4rem 0; border-bottom: 1px solid var(--line); font-weight: inherit; }
.checklist thead th { white-space: nowrap; font-weight: 600; border-bottom: 2px solid var(--ink); }
.checklist .number { width: 2.5rem; text-align: right; padding-right: .75rem; font-size: 1.1em; font-weight: 700; white-space: nowrap; }
.checklist .cover th { padding: 1rem 0 .25rem; font-size: 1.1rem; font-weight: 700; border: 0; }
.checklist .setting th { background: var(--faint); padding: .3rem .5rem; font-weight: 600; border-left: .35rem solid var(--ink); }
.checklist .place { white-space: nowrap; margin-right: .75rem; }
.checklist .place b { display: inline-block; min-width: 1.1em; }
.checklist .notes { display: inline; font-size: .9em; }
.checklist .range { white-space: nowrap; }
.checklist .right { width: 11rem; }
.checklist .right span { font-size: .9em; }
.checklist .fill { width: 7.5rem; padding-right: .5rem; }
.checklist .blank { display: block; }
.checklist .blank > span:not(.hidden), .ticks { font-size: .875rem; }
.pair { display: flex; gap: .5rem; }
.pair > label { flex: 1; }
.ticks { display: flex; flex-wrap: wrap; gap: .25rem 1rem; margin-top: .25rem; }
.again .fill { width: 8rem; }
.judged { display: block; font-weight: 700; }

@media screen and (max-width: 46rem) {
  .drawn > .said { grid-template-columns: 2.75rem minmax(0, 1fr); }
  .step figure { grid-column: 1 / -1; grid-row: auto; margin-top: .75rem; max-width: 26rem; }
  .plain figure { float: none; width: 100%; margin: 0 0 .75rem; }
  .step .blanks { padding-left: 0; }
}
@media screen and (max-width: 40rem) {
  .step > .said, .drawn > .said { grid-template-columns: 1.75rem minmax(0, 1fr); column-gap: .5rem; }
  .field { flex: 1 0 100%; }
  .blanks .field input[type="text"] { flex: 1; width: auto; min-width: 0; }
  .facts { grid-template-columns: 1fr; gap: 0; }
  .facts dd { margin-bottom: .5rem; }
  .readings, .readings tbody, .readings tr, .readings td, .readings th { display: block; }
  .readings thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  .readings tr { border-bottom: 1px solid var(--line); padding: .5rem 0; }
  .readings td, .readings th { border: 0; padding: 0; }
  .readings td[data-of]::before { content: attr(data-of) " "; color: var(--soft); }
  .readings td:empty { display: none; }
  .checklist, .checklist tbody, .checklist tr, .checklist td, .checklist th { display: block; width: auto; }
  .checklist thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  .checklist .step { border-bottom: 1px solid var(--line); padding: .5rem 0; }
  .checklist .step > * { border: 0; padding: .1rem 0; text-align: left; }
  .checklist .range::before { content: "range "; color: var(--soft); }
  .checklist .fill { width: auto; }
  .checklist .place { white-space: normal; }
}
@media print {
  @page { margin: 13mm 13mm 14mm; @bottom-right { content: counter(page) " / " counter(pages); font: 8pt sans-serif; } }
  @page compact { margin: 8mm 12mm 10mm; }
  @page single { margin: 8mm 12mm 8mm; @bottom-right { content: none; } }
  :root { color-scheme: light; }
  body { padding: 0; max-width: none; font-size: 9.5pt; line-height: 1.35; }
  .screen, .keeping.screen:not([hidden]) { display: none; }
  .sheet { display: table; }
  .sheet > thead { display: table-header-group; }
  .sheet > tfoot { display: table-footer-group; }
  .sheet > tbody { display: table-row-group; }
  .sheet > * > tr { display: table-row; }
  .sheet > * > tr > td { display: table-cell; }
  .running { display: block; font-size: 8pt; color: var(--soft); }
  thead .running { border-bottom: 1px solid var(--ink); margin-bottom: 4mm; padding-bottom: 1mm; }
  tfoot .running { border-top: 1px solid var(--ink); margin-top: 4mm; padding-top: 1mm; }
  h1 { font-size: 16pt; }
  h2 { font-size: 12pt; margin: 5mm 0 2mm; break-after: avoid; }
  p, li { max-width: none; orphans: 3; widows: 3; }
  h2 + .soft:not(:last-child), .readings thead, .setting { break-after: avoid; }
  .before { break-after: avoid; margin: 3mm 0 1.5mm; print-color-adjust: exact; }
  .step, .caution, .verdict, figure, .wide, tr, li { break-inside: avoid; }
  .leaf { break-before: page; }
  .leaf .facts { grid-template-columns: max-content 1fr max-content 1fr; font-size: 8.5pt; gap: 0 3mm; }
  .leaf .plain-table { font-size: 8.5pt; line-height: 1.15; }
  .leaf .plain-table th, .leaf .plain-table td { padding: .3mm 2mm .3mm 0; }
  .leaf p { font-size: 8.5pt; line-height: 1.2; }
  .leaf figure svg { max-height: 84mm; }
  .leaf textarea { min-height: 8mm; }
  .step { margin-bottom: 2.5mm; padding: 2.5mm; border-color: var(--ink); }
  .drawn > .said { grid-template-columns: 9mm minmax(0, 1fr) 64mm; }
  .step figure { grid-column: 3; margin: 0; }
  .signs, figcaption { font-size: 8pt; }
  .shows b { font-size: 12pt; }
  .shows .long { font-size: 10pt; }
  .job { grid-template-columns: repeat(4, 1fr); }
  input[type="text"], textarea { border: 0; border-bottom: 1px solid var(--ink); border-radius: 0; min-height: 7mm; padding: 0 1mm; }
  textarea { min-height: 16mm; resize: none; }
  .blanks label { min-height: 7mm; }
  .step .blanks { margin-top: 1mm; padding-left: 12mm; }
  .blanks input[type="text"] { width: 36mm; }
  input[type="checkbox"] { width: 5mm; height: 5mm; border-width: 1px; }
  input[type="checkbox"]::before { width: 3mm; height: 1.5mm; margin-top: -.7mm; border-width: 0 0 2px 2px; }
  .whole figure svg { max-height: 74mm; }
  .whole figcaption { display: none; }
  .key { columns: 3; column-gap: 5mm; font-size: 8.5pt; margin-top: 1.5mm; }
  .compact h1 { font-size: 14pt; margin-bottom: 2mm; }
  .compact h2 { font-size: 11pt; margin: 2mm 0 .8mm; padding-bottom: .5mm; border-bottom-width: 1px; }
  .compact .facts { grid-template-columns: max-content 1fr max-content 1fr; font-size: 8.5pt; gap: 0 3mm; }
  .compact .job { gap: 0 4mm; margin-bottom: 1mm; }
  .compact .job span { font-size: 8pt; }
  .compact .job input { min-height: 5mm; }
  .compact p { margin-bottom: 1mm; }
  .compact .caution ul { columns: 2; column-gap: 6mm; font-size: 8.5pt; line-height: 1.2; margin-bottom: 1mm; }
  .compact li { margin-bottom: .8mm; }
  .compact p { font-size: 8pt; line-height: 1.2; margin-bottom: .4mm; }
  .close .key li { margin-bottom: .3mm; }
  .compact { page: compact; }
  .compact thead .running { margin-bottom: 2mm; }
  .compact tfoot .running { margin-top: 2mm; }
  .close ul { columns: 2; column-gap: 6mm; font-size: 8pt; line-height: 1.18; padding-left: 3.5mm; }
  .close .key { padding-left: 0; }
  .close li { margin-bottom: .6mm; }
  .caution { margin-top: 3mm; padding: 1.5mm 3mm 0; }
  .checklist { font-size: 9pt; line-height: 1.15; table-layout: fixed; }
  .checklist .place { font-size: 9.5pt; }
  .checklist thead { display: table-header-group; }
  .checklist thead th:nth-child(1) { width: 10mm; }
  .checklist thead th:nth-child(3) { width: 12mm; }
  .checklist thead th:nth-child(4) { width: 35mm; }
  .checklist thead th:nth-child(n + 5) { width: 21mm; }
  .checklist th, .checklist td { padding: .45mm 2mm .45mm 0; border-bottom-color: var(--ink); }
  .checklist .cover th { padding: 2mm 0 .3mm; font-size: 10.5pt; }
  .checklist .cover, .checklist .setting { break-after: avoid; }
  .checklist .setting th { padding: .3mm 2mm; border-bottom: 0; }
  .checklist .number, .checklist .right, .checklist .fill { width: auto; }
  .checklist .right b { font-size: 10.5pt; }
  .checklist .right span { font-size: 8.5pt; }
  .checklist .notes { font-size: 8.5pt; }
  .checklist .blank input[type="text"] { width: 100%; min-height: 4.6mm; }
  .checklist .blank > span:not(.hidden), .ticks { font-size: 8.5pt; }
  .ticks { gap: 0 4mm; margin-top: .3mm; }
  .ticks input[type="checkbox"] { width: 4mm; height: 4mm; }
  .single { page: single; }
  .single .sheet, .single .sheet > tbody, .single .sheet > tbody > tr, .single .sheet > tbody > tr > td, .single main, .fills, .fills figure {
    display: flex; flex-direction: column; min-height: 0;
  }
  .single .sheet { height: 99vh; }
  .single .sheet > thead { display: none; }
  .single .sheet > tbody, .single .sheet > tbody > tr, .single .sheet > tbody > tr > td, .single main, .fills figure { flex: 1 1 0; }
  .single .sheet > tfoot { order: 1; }
  .single .sheet > tfoot, .single .sheet > tfoot > tr, .single .sheet > tfoot > tr > td { display: block; }
  .fills { flex: 1 1 0; margin-top: 1mm; }
  .fills figure svg { flex: 1 1 0; min-height: 0; width: 100%; height: auto; }
  .single .verdict { font-size: 10.5pt; padding: 1mm 3mm .5mm; margin-bottom: 1mm; border-width: 2px; }
  .single .verdict p { font-size: 9pt; }
  .single .verdict p:first-child { font-size: 11pt; }
  .single figcaption { font-size: 7.5pt; margin: 0; }
  .single h1 { margin-bottom: 1mm; }
  .single ul { margin-bottom: .5mm; }
  .single li { margin-bottom: .2mm; line-height: 1.2; }
  .single .readings, .single .plain-table { font-size: 8.5pt; line-height: 1.15; }
  .single .readings th, .single .readings td, .single .plain-table td, .single .plain-table th { padding: .3mm 2mm .3mm 0; }
  .single .readings { table-layout: fixed; }
  .single .readings thead th:nth-child(1) { width: 8mm; }
  .single .readings thead th:nth-child(3) { width: 16mm; }
  .single .readings thead th:nth-child(4) { width: 51mm; }
  .single .readings thead th:nth-child(5) { width: 40mm; }
  .single .again thead th:nth-child(6) { width: 26mm; }
  .again .blank input[type="text"] { min-height: 4mm; }
  .single textarea { min-height: 7mm; }
  .single .blanks { gap: 1mm 5mm; margin-top: 1mm; padding: 0; }
  .single .wide label { display: flex; }
  .single .wide label span { min-width: 12mm; }
  .single .blanks input[type="text"] { width: 42mm; font-size: 9pt; }
  .single .step { display: flex; gap: 3mm; padding: 0; margin: 0 0 .5mm; border: 0; border-bottom: 1px solid var(--line); }
  .single .step > .said { flex: 1; grid-template-columns: 7mm minmax(0, 1fr); column-gap: 2mm; }
  .single .step .number { font-size: 9pt; }
  .single .step .blanks { flex: none; margin: 0; flex-wrap: nowrap; }
  .single .step .blanks input[type="text"] { width: 24mm; }
  .single .step p { margin: 0; font-size: 8.5pt; }
  .single .shows b { font-size: 9pt; }
  .group figure { max-width: 150mm; }
  .group figure svg { max-height: 100mm; }
}
)css";
}

}  // namespace lugwise::page::inside
