import type { Picture } from "./picture.ts";
import { DIFFERENCE_STEPS, VALUE_STEPS } from "./scales-of-colour.ts";
import { SIGNAL_SLOTS } from "./signal-style.ts";
import { LABEL_PX, themeCss } from "./tokens.ts";

/** Style of all pictures; the colours come from the theme's custom properties. */
export function drawingCss(): string {
  const steps: string[] = [];
  for (let i = 0; i < VALUE_STEPS; i++) steps.push(`.pic .v${i}{fill:var(--v${i})}`);
  for (let i = 1; i <= DIFFERENCE_STEPS; i++) steps.push(`.pic .l${i}{fill:var(--l${i})}.pic .m${i}{fill:var(--m${i})}`);
  for (let i = 0; i < SIGNAL_SLOTS; i++) steps.push(`.pic .g${i}{--pen:var(--g${i})}`);
  return `
.pic{display:block;max-width:100%;height:auto;font-family:var(--words);font-size:${LABEL_PX}px;font-variant-numeric:tabular-nums;overflow:hidden}
.pic text{fill:var(--ink)}
.pic .soft{fill:var(--soft)}
.pic .strong{font-weight:700}
.pic .end{text-anchor:end}
.pic .mid{text-anchor:middle}
.pic path{fill:none}
.pic .grid{stroke:var(--hair);stroke-width:1}
.pic .axis{stroke:var(--line);stroke-width:1.2}
.pic .zero{stroke:var(--ink);stroke-width:1.2}
.pic .pen{stroke:var(--pen,var(--ink));stroke-width:2;stroke-linejoin:round;stroke-linecap:round}
.pic .thin{stroke-width:1.1}
.pic .heavy{stroke-width:2.8}
.pic .faint{opacity:.45}
.pic .dash{stroke-dasharray:7 5}
.pic .dots{stroke-dasharray:1.5 4.5}
.pic .dashdot{stroke-dasharray:9 4 1.5 4}
.pic .spot{fill:var(--pen,var(--ink));stroke:var(--ground);stroke-width:1.2}
.pic .hollow{fill:var(--ground);stroke:var(--pen,var(--ink));stroke-width:1.6}
.pic .band{fill:var(--pen,var(--ink));opacity:.2;stroke:none}
.pic .accent{--pen:var(--accent)}
.pic .accentText{fill:var(--accent);font-weight:700}
.pic .name{fill:var(--pen,var(--ink));font-weight:600}
.pic .less{fill:var(--l5);opacity:.6}
.pic .more{fill:var(--m5);opacity:.6}
.pic .cell{stroke:var(--ground);stroke-width:1}
.pic .empty{fill:var(--ground);stroke:var(--hair)}
.pic .same{fill:var(--soft)}
.pic .hatch{stroke:var(--ground)}
.pic .void{stroke:var(--hair);stroke-width:1.4}
.pic .contour{stroke:var(--ink);stroke-width:1.3}
.pic .halo{stroke:var(--ground);stroke-width:3.6;opacity:.7}
.pic .plate{fill:var(--ground);opacity:.86}
.pic .region{stroke:var(--ink);stroke-width:2.2}
.pic .evidence{fill:var(--evidence)}
.pic .rule{stroke:var(--ink);stroke-width:1}
.pic .break{--pen:var(--stop)}
.pic .breakText{fill:var(--stop);font-weight:700}
.pic .ribbon{fill:var(--raised);stroke:var(--line);stroke-width:1}
.pic .facet{stroke:var(--ground);stroke-width:.7;stroke-linejoin:round}
.pic .whisker{stroke:var(--soft);stroke-width:1;opacity:.5}
.pic .cloud{fill:var(--pen,var(--soft))}
.pic .dwell{fill:var(--soft)}
.pic .visit{fill:var(--ground);stroke:var(--accent);stroke-width:2.4}
.pic .visitText{fill:var(--accent);font-weight:700}
.pic .haloed{paint-order:stroke;stroke:var(--ground);stroke-width:4px;stroke-linejoin:round}
.pic .limit{fill:var(--stop);opacity:.13}
${steps.join("")}`.trim();
}

/** A picture as a file of its own: the style travels with it. */
export function standaloneSvg(picture: Picture): string {
  const css = `${themeCss().replaceAll(":root", "svg")}\nsvg{background:var(--ground)}\n${drawingCss()}`;
  return picture.svg.replace("<title", `<style>${css.replaceAll("<", "\\3c ")}</style><title`);
}
