import { el } from "./svg.ts";

export type SeverityShape = "stop" | "fix" | "watch" | "note";

/** The shape of a severity, 16 × 16 px: filled square, filled triangle, open circle, short dash. Its word always stands beside it. */
export function severityMark(severity: SeverityShape): string {
  const shapes: Record<SeverityShape, string> = {
    stop: el("rect", { x: 2, y: 2, width: 12, height: 12, fill: "var(--stop)" }),
    fix: el("path", { d: "M8 1.5L15 14.5H1Z", fill: "var(--fix)" }),
    watch: el("circle", { cx: 8, cy: 8, r: 5.6, fill: "none", stroke: "var(--watch)", "stroke-width": 2.4 }),
    note: el("path", { d: "M2.5 8H13.5", stroke: "var(--note)", "stroke-width": 3, fill: "none" }),
  };
  return el("svg", { class: `mark mark-${severity}`, viewBox: "0 0 16 16", width: 16, height: 16, "aria-hidden": "true" }, shapes[severity]);
}
