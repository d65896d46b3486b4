import { drawingCss, TYPE_PX, themeCss } from "../drawing/index.ts";
import type { Fonts } from "./model.ts";

function face(family: string, weight: number, base64: string | undefined): string {
  if (base64 === undefined) return "";
  return `@font-face{font-family:"${family}";font-weight:${weight};font-display:swap;src:url(data:font/woff2;base64,${base64}) format("woff2")}`;
}

function fontCss(fonts: Fonts): string {
  const words = "Atkinson Hyperlegible Next";
  const figures = "Atkinson Hyperlegible Mono";
  return face(words, 400, fonts.words) + face(words, 700, fonts.wordsBold) + face(figures, 400, fonts.figures) + face(figures, 700, fonts.figuresBold);
}

/** The whole style of a report page: themes, page, pictures, print. `footer` stands at the foot of each printed page. */
export function reportCss(fonts: Fonts, footer: string): string {
  return [fontCss(fonts), themeCss(), pageCss(), drawingCss(), tableTints(), printCss(footer)].join("\n");
}

function pageCss(): string {
  const { small, text, lead, title } = TYPE_PX;
  return `
*{box-sizing:border-box}
html{background:var(--ground);color:var(--ink);font:${text}px/1.5 var(--words);-webkit-text-size-adjust:100%;hanging-punctuation:first}
body{margin:0}
a{color:var(--accent);text-underline-offset:.18em}
a:focus-visible,summary:focus-visible{outline:3px solid var(--accent);outline-offset:3px}
h1,h2,h3,h4{font-weight:700;line-height:1.2;margin:0;text-wrap:balance}
h1{font-size:${title}px;letter-spacing:-.012em}
h2{font-size:${lead}px}
h3{font-size:${text}px}
h4{font-size:${small}px;letter-spacing:.02em;color:var(--soft)}
p,ul,ol{margin:0 0 .7em}
p,li{max-width:68ch;text-wrap:pretty}
ul{padding-left:1.1em}
li{margin:.15em 0}
li::marker{color:var(--line)}
.small{font-size:${small}px;color:var(--soft)}
.unseen{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.book{display:grid;grid-template-columns:minmax(0,216px) minmax(0,960px);column-gap:56px;justify-content:center;padding:0 40px}
.spine{position:sticky;top:0;align-self:start;height:100vh;padding:56px 0 24px;overflow:auto;font-size:15px;line-height:1.3}
.spine ol{list-style:none;margin:0;padding:0;position:relative}
.spine ol::before{content:"";position:absolute;left:7px;top:14px;bottom:20px;width:2px;background:var(--line);opacity:.55}
.spine a{position:relative;display:flex;align-items:center;min-height:40px;padding-left:30px;color:var(--ink);text-decoration:none}
.spine a:hover{color:var(--accent);text-decoration:underline}
.spine .mark,.spine .knot{position:absolute;left:0;background:var(--ground);box-shadow:0 0 0 4px var(--ground)}
.spine .knot{left:3px;width:10px;height:10px;border:2px solid var(--line);border-radius:50%;background:var(--ground)}
.spine .full .knot{background:var(--ink);border-color:var(--ink)}
.spine .void a{color:var(--soft)}
main{padding:56px 0 96px;min-width:0}
.kicker{font-size:15px;color:var(--soft);margin:0 0 10px;max-width:none}
.title p.lead{font-size:${lead}px;line-height:1.4;max-width:46em;margin:22px 0 0}
.facts{display:grid;grid-template-columns:repeat(3,minmax(0,1fr));gap:0 32px;margin:30px 0 0}
.facts div{border-top:1px solid var(--hair);padding:9px 0 11px;min-width:0}
.facts dt{font-size:${small}px;color:var(--soft)}
.facts dd{margin:1px 0 0;font-size:15px;line-height:1.4;overflow-wrap:anywhere}
section{margin-top:72px}
section h2{display:flex;align-items:center;gap:14px;margin-bottom:18px}
section h2::after{content:"";flex:1;height:1px;background:var(--line);opacity:.6}
.entry{margin:34px 0 0}
.row{display:grid;grid-template-columns:minmax(0,1fr) 232px;column-gap:36px;align-items:start}
.row>.text{min-width:0}
.row>.aside{font-size:${small}px;line-height:1.45;color:var(--soft);border-left:1px solid var(--hair);padding-left:14px;overflow-wrap:break-word}
.aside p{margin:0 0 6px}
.aside b{font-weight:400;color:var(--soft);margin-right:.5em}
.aside .val{color:var(--ink)}
.entry h3{margin-bottom:6px}
.entry h4{margin:14px 0 4px}
.finding{display:grid;grid-template-columns:92px minmax(0,1fr) 232px;column-gap:20px;border-top:1px solid var(--hair);padding-top:16px;margin-top:22px}
.finding>.sev{display:flex;align-items:center;gap:9px;font-weight:700;height:1.3em}
.finding>.aside{font-size:${small}px;line-height:1.45;color:var(--soft);overflow-wrap:anywhere}
.finding h3{margin-bottom:6px}
td .sev,th .sev{display:inline-flex;gap:8px;align-items:center}
.mark{flex:none;display:inline-block}
.do{display:flex;gap:10px;margin:8px 0 0;max-width:68ch}
.do>span:first-child{color:var(--accent);font-weight:700;flex:none}
.strong{font-weight:700;margin-bottom:4px}
.quiet{font-size:15px;color:var(--soft);margin-top:28px}
.stops{border-top:6px solid var(--stop);padding-top:14px}
.stops>.keep:first-child .finding{border-top:0;margin-top:8px;padding-top:0}
.stops h2{margin-bottom:6px}
.figure{margin:20px 0 0;min-width:0}
.figure .pic{width:100%}
figcaption{font-size:15px;line-height:1.4;margin:8px 0 0;max-width:72ch}
.fig{font-weight:700;margin-right:.35em;white-space:nowrap}
.pair{display:grid;grid-template-columns:repeat(2,minmax(0,1fr));gap:0 20px;align-items:start}
table{border-collapse:collapse;width:100%;font-size:15px;line-height:1.4}
th,td{text-align:left;vertical-align:top;padding:8px 14px 8px 0;border-bottom:1px solid var(--hair);font-weight:400}
thead th{font-size:${small}px;color:var(--soft);border-bottom:1.5px solid var(--line);vertical-align:bottom}
tbody th{font-weight:700}
.num{text-align:right;font-family:var(--figures);font-variant-numeric:tabular-nums;white-space:nowrap}
thead .num{font-family:var(--words)}
.num:last-child{padding-right:0}
.scroll{overflow-x:auto}
.files th,.files td{padding:5px 14px 5px 0;font-weight:400;font-size:${small}px}
.list tbody th{font-weight:400}
.list td{white-space:nowrap}
.hash{font-family:var(--figures);font-size:${small}px;overflow-wrap:anywhere;line-height:1.35}
.lot{display:block;height:12px;min-width:120px;background:linear-gradient(var(--hair),var(--hair)) 0 50%/100% 1px no-repeat;margin-top:6px}
.lot i{display:block;height:12px;background:var(--ink)}
.lot.lead i{background:var(--accent)}
.two{display:grid;grid-template-columns:repeat(2,minmax(0,1fr));gap:0 36px}
.evidence li{font-size:15px;line-height:1.42;margin:.35em 0}
.test p{font-size:15px;line-height:1.45}
.test{border-left:3px solid var(--accent);padding:2px 0 2px 18px;margin:18px 0 0}
.test p:last-child{margin-bottom:0}
.caution{margin:26px 0 0;padding:14px 20px 10px;background:var(--raised)}
.caution h3{font-size:15px;margin-bottom:6px}
.caution li,.caution p{font-size:15px;line-height:1.45;max-width:86ch}
details{margin:14px 0 0}
summary{cursor:pointer;min-height:40px;display:flex;align-items:center;gap:10px;color:var(--accent);font-weight:700;font-size:15px;list-style:none}
summary::before{content:"";border:5px solid transparent;border-left:8px solid var(--accent);border-right:0}
details[open]>summary::before{transform:rotate(90deg)}
summary::-webkit-details-marker{display:none}
.more{margin:0}
.numbers{font-family:var(--figures);font-size:${small}px;line-height:1.25;width:auto;margin-bottom:14px}
.numbers th,.numbers td{text-align:right;padding:3px 7px;white-space:nowrap;border:0;border-bottom:1px solid var(--hair)}
.numbers thead th{font-size:${small}px;border-bottom:1.5px solid var(--line)}
.numbers thead .corner{text-align:left;white-space:normal;font-family:var(--words);font-weight:400;min-width:8em;max-width:9.5em}
.numbers tbody th{color:var(--soft);font-weight:400}
.numbers small{display:block;font-size:${small}px;color:var(--soft)}
.numbers b{font-weight:700}
.sign{display:grid;grid-template-columns:repeat(3,1fr);gap:32px;margin-top:56px}
.sign div{border-top:1px solid var(--ink);padding-top:6px;font-size:${small}px;color:var(--soft)}
@media screen and (max-width:1200px){
.book{grid-template-columns:32px minmax(0,960px);column-gap:20px;padding:0 20px}
.spine a span{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
}
@media screen and (max-width:820px){
.book{display:block;padding:0 18px}
.spine{display:none}
main{padding-top:28px}
.facts,.two,.pair{grid-template-columns:minmax(0,1fr)}
.row,.finding{display:block}
.row>.aside{border-left:0;padding:8px 0 0}
.finding>.sev{margin-bottom:4px}
h1{font-size:28px}
.title p.lead{font-size:19px}
.figure .pic{min-width:620px}
.figure{overflow-x:auto}
.pair .figure .pic{min-width:0}
}`.trim();
}

/** Faint tints for cells of number tables: the same purple and orange, thin enough that figures keep their contrast. */
function tableTints(): string {
  return [1, 2, 3]
    .flatMap((step) => [
      `.t-l${step}{background:color-mix(in oklab,var(--l12) ${step * 7}%,var(--ground))}`,
      `.t-m${step}{background:color-mix(in oklab,var(--m12) ${step * 7}%,var(--ground))}`,
    ])
    .join("");
}

function printCss(footer: string): string {
  const quoted = footer.replace(/["\\<>]/g, " ").replace(/\s+/g, " ");
  return `
@page{margin:15mm 13mm 17mm;@bottom-left{content:"${quoted}";font:8pt ${"var(--words)"};color:#4b463b}@bottom-right{content:counter(page) " / " counter(pages);font:8pt var(--words);color:#4b463b}}
@media print{
html{font-size:10.5pt;background:#fff}
:root{--ground:#ffffff;--raised:#f4f0e6}
*{-webkit-print-color-adjust:exact;print-color-adjust:exact}
.book{display:block;padding:0}
.spine{display:none}
main{padding:0}
h1{font-size:23pt}h2{font-size:15pt}h3{font-size:11pt}h4,.small,.aside,.facts dt,thead th{font-size:8.5pt}
.title p.lead{font-size:13pt;margin-top:12pt}
.facts{margin-top:14pt}
.evidence li,.test p,.quiet,.facts dd,table,figcaption,.caution li,.caution p,.caution h3,.kicker{font-size:9.5pt}
section{margin-top:24pt}
section h2{margin-bottom:8pt}
.entry{margin-top:16pt}
.row{grid-template-columns:minmax(0,1fr) 43mm;column-gap:6mm}
.finding{grid-template-columns:20mm minmax(0,1fr) 43mm;column-gap:4mm;margin-top:10pt;padding-top:8pt;break-inside:avoid}
h2,h3,h4{break-after:avoid}
h2+p:not(:last-child),summary+.small{break-after:avoid}
.head,figure,.figure,.pair,.test,.caution,.facts div,tr,.sign,.keep{break-inside:avoid}
.keep:has(.files),.keep:has(details.grid){break-inside:auto}
.head{break-after:avoid}
.caution{margin-top:10pt;padding:7pt 11pt 4pt}
thead{display:table-header-group}
p,li{orphans:3;widows:3}
.figure{margin-top:10pt}
.scroll{overflow:visible}
th,td{padding:4pt 8pt 4pt 0}
.hash{font-size:6.8pt;white-space:nowrap}
.files th,.files td{padding:1.5pt 6pt 1.5pt 0;font-size:7.5pt}
.screen{display:none!important}
details:not([open]){display:block}
details::details-content{content-visibility:visible;display:block;height:auto;block-size:auto}
summary{break-after:avoid;min-height:0;color:var(--ink);font-size:9.5pt;margin:6pt 0 3pt}
summary::before{display:none}
details.more>ul{display:none}
details.more>summary{font-weight:400;margin:0}
.numbers{font-size:7pt}
.numbers th,.numbers td,.numbers thead th{padding:1.5pt 3pt;font-size:7pt}
.numbers small{font-size:6.5pt}
a{color:inherit;text-decoration:none}
}`.trim();
}
