import { type LegendSpec, legend, legendHeightPx } from "./legend.ts";
import { decimalsOf, formatNumber } from "./numbers.ts";
import { axisTitle, finishPicture, type Picture, type PictureSpec, type Quantity, unitAfter } from "./picture.ts";
import { extent } from "./scale.ts";
import { differenceStep, valueStep } from "./scales-of-colour.ts";
import { el, pathThrough, words } from "./svg.ts";
import { textWidthPx } from "./text-width.ts";
import { LABEL_PX } from "./tokens.ts";
import { type DrawingWords, ENGLISH_DRAWING_WORDS } from "./words.ts";

export interface ReliefView {
  /** Turned about the vertical [degrees]; 0 looks along y. */
  readonly turnDeg: number;
  /** Height of the eye [degrees], 0 from the side, 90 from above. */
  readonly tiltDeg: number;
}

export const RELIEF_VIEW: ReliefView = { turnDeg: 35, tiltDeg: 30 };

export interface ReliefSpec extends PictureSpec {
  readonly x: Quantity & { readonly values: ArrayLike<number> };
  readonly y: Quantity & { readonly values: ArrayLike<number> };
  readonly cells: ArrayLike<number>;
  readonly value: Quantity;
  readonly mode?: "value" | "difference";
  readonly view?: ReliefView;
  readonly words?: DrawingWords;
}

/** One facet between four breakpoints, ready to be painted: corners on a unit stage, mean value, distance from the eye. */
export interface Facet {
  readonly corners: readonly (readonly [number, number])[];
  readonly value: number;
  readonly depth: number;
}

type Spot = readonly [number, number, number];

/** Turns and tilts a point of the unit box (each −0.5 … 0.5); returns right, down and away. */
function project([x, y, z]: Spot, view: ReliefView): Spot {
  const turn = (view.turnDeg * Math.PI) / 180;
  const tilt = (view.tiltDeg * Math.PI) / 180;
  const right = x * Math.cos(turn) - y * Math.sin(turn);
  const away = x * Math.sin(turn) + y * Math.cos(turn);
  return [right, -(z * Math.cos(tilt) + away * Math.sin(tilt)), away * Math.cos(tilt) - z * Math.sin(tilt)];
}

/** Facets of a grid from the farthest to the nearest, so that painting them in order hides what lies behind. */
export function reliefFacets(spec: Pick<ReliefSpec, "x" | "y" | "cells">, view: ReliefView, heightShare = 0.42): Facet[] {
  const columns = spec.x.values.length;
  const [zLow, zHigh] = extent(spec.cells) ?? [0, 1];
  const spot = (row: number, column: number): Spot => {
    const value = spec.cells[row * columns + column]!;
    return [unit(spec.x.values, column), unit(spec.y.values, row), zHigh > zLow ? ((value - zLow) / (zHigh - zLow) - 0.5) * heightShare : 0];
  };
  const facets: Facet[] = [];
  for (let row = 0; row + 1 < spec.y.values.length; row++)
    for (let column = 0; column + 1 < columns; column++) {
      const places = [
        [row, column],
        [row, column + 1],
        [row + 1, column + 1],
        [row + 1, column],
      ] as const;
      const values = places.map(([r, c]) => spec.cells[r * columns + c]!);
      if (values.some((value) => !Number.isFinite(value))) continue;
      const corners = places.map(([r, c]) => project(spot(r, c), view));
      // Order by the footprint alone: with height in it, a tall far facet could be painted over a near one.
      const footprint = places.map(([r, c]) => project([unit(spec.x.values, c), unit(spec.y.values, r), 0], view)[2]);
      facets.push({
        corners: corners.map(([right, down]) => [right, down] as const),
        value: values.reduce((sum, value) => sum + value, 0) / 4,
        depth: footprint.reduce((sum, away) => sum + away, 0) / 4,
      });
    }
  return facets.sort((a, b) => b.depth - a.depth);
}

function unit(values: ArrayLike<number>, index: number): number {
  const low = values[0]!;
  const high = values[values.length - 1]!;
  return high > low ? (values[index]! - low) / (high - low) - 0.5 : 0;
}

/** The grid in three dimensions, for its shape only. */
export function relief(spec: ReliefSpec): Picture {
  const w = spec.words ?? ENGLISH_DRAWING_WORDS;
  const view = spec.view ?? RELIEF_VIEW;
  const widthPx = spec.widthPx ?? 960;
  const heightPx = spec.heightPx ?? Math.round(Math.min(520, widthPx * 0.62));
  const scale = scaleOf(spec, w);
  const head = legendHeightPx(scale, widthPx) + 8;
  const facets = reliefFacets(spec, view);
  const stage = stageFor(facets, view, { left: 70, top: head + 4, right: widthPx - 70, bottom: heightPx - 46 });
  const painted = facets.map((facet) => {
    const step = scale.mode === "value" ? valueStep(facet.value, scale.low, scale.high) : differenceStep(facet.value, scale.high);
    const fill = scale.mode === "value" ? `v${step}` : step === 0 ? "empty" : step! < 0 ? `l${-step!}` : `m${step}`;
    return el("polygon", {
      class: `facet ${fill}`,
      points: facet.corners
        .map((corner) =>
          stage(corner)
            .map((n) => n.toFixed(1))
            .join(","),
        )
        .join(" "),
    });
  });
  const body = [legend(scale, widthPx), ...floor(spec, view, stage), ...painted].join("");
  return finishPicture("relief", spec, { widthPx, heightPx }, describeRelief(spec, w), body);
}

function scaleOf(spec: ReliefSpec, w: DrawingWords): LegendSpec {
  const range = extent(spec.cells) ?? [0, 1];
  const mode = spec.mode ?? "value";
  const largest = Math.max(Math.abs(range[0]), Math.abs(range[1])) || 1;
  const title = mode === "difference" ? w.changeOf(spec.value.name) : spec.value.name;
  const [low, high] = mode === "difference" ? [-largest, largest] : range;
  return { id: spec.id, mode, title, unit: spec.value.unit, low, high, isSaturated: false, words: w };
}

type Stage = (point: readonly [number, number]) => [number, number];

function stageFor(facets: readonly Facet[], view: ReliefView, box: { left: number; top: number; right: number; bottom: number }): Stage {
  const spots = [...facets.flatMap((facet) => facet.corners), ...base(view)];
  const [xLow, xHigh] = extent(spots.map(([right]) => right))!;
  const [yLow, yHigh] = extent(spots.map(([, down]) => down))!;
  const factor = Math.min((box.right - box.left) / (xHigh - xLow), (box.bottom - box.top) / (yHigh - yLow));
  const [cx, cy] = [(box.left + box.right) / 2, (box.top + box.bottom) / 2];
  return ([right, down]) => [cx + (right - (xLow + xHigh) / 2) * factor, cy + (down - (yLow + yHigh) / 2) * factor];
}

const FLOOR = -0.24;

function base(view: ReliefView): [number, number][] {
  return (
    [
      [-0.5, -0.5],
      [0.5, -0.5],
      [0.5, 0.5],
      [-0.5, 0.5],
    ] as const
  ).map(([x, y]) => {
    const [right, down] = project([x, y, FLOOR], view);
    return [right, down];
  });
}

/** Outline of the floor with the two axes named along its near edges. */
function floor(spec: ReliefSpec, view: ReliefView, stage: Stage): string[] {
  const corners = base(view).map(stage);
  const outline = el("path", { class: "axis", d: pathThrough(corners, true) });
  const edges = [
    { quantity: spec.x, ends: [corners[0]!, corners[1]!] },
    { quantity: spec.x, ends: [corners[3]!, corners[2]!] },
    { quantity: spec.y, ends: [corners[0]!, corners[3]!] },
    { quantity: spec.y, ends: [corners[1]!, corners[2]!] },
  ] as const;
  const nearX = edges[0].ends[0][1] + edges[0].ends[1][1] >= edges[1].ends[0][1] + edges[1].ends[1][1] ? edges[0] : edges[1];
  const nearY = edges[2].ends[0][1] + edges[2].ends[1][1] >= edges[3].ends[0][1] + edges[3].ends[1][1] ? edges[2] : edges[3];
  return [outline, edgeLabels(nearX.quantity, nearX.ends, corners), edgeLabels(nearY.quantity, nearY.ends, corners)];
}

function edgeLabels(quantity: ReliefSpec["x"], [from, to]: readonly [[number, number], [number, number]], corners: readonly [number, number][]): string {
  const middleX = corners.reduce((sum, [x]) => sum + x, 0) / 4;
  const [cx, cy] = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2];
  const isLeft = cx < middleX;
  const decimals = decimalsOf(quantity.values, 2);
  const first = formatNumber(quantity.values[0]!, decimals);
  const last = formatNumber(quantity.values[quantity.values.length - 1]!, decimals);
  const title = axisTitle(quantity);
  const anchor = isLeft ? "end" : "";
  const shift = isLeft ? -8 : 8;
  const titleX = isLeft ? Math.max(cx - 14, textWidthPx(title, LABEL_PX)) : cx + 14;
  return [
    words(from[0] + shift, from[1] + 15, first, { class: `soft ${anchor}` }),
    words(to[0] + shift, to[1] + 15, last, { class: `soft ${anchor}` }),
    words(titleX, cy + 30, title, { class: `soft ${anchor}` }),
  ].join("");
}

function describeRelief(spec: ReliefSpec, w: DrawingWords): string {
  const range = extent(spec.cells);
  const decimals = decimalsOf(spec.cells, 2);
  const span = range === undefined ? w.noData : w.from(formatNumber(range[0], decimals), unitAfter(formatNumber(range[1], decimals), spec.value.unit));
  return `${spec.caption} ${spec.value.name} [${spec.value.unit}]; ${spec.x.name} [${spec.x.unit}], ${spec.y.name} [${spec.y.unit}]; ${span}.`;
}
