import { lastAtMost } from "../../base/index.ts";
import { type Picture, type SweepLine, type SweepPanel, sweep } from "../../drawing/index.ts";
import type { Context } from "../context.ts";
import type { SweepDetail, SweepGain, SweepSeries } from "../model.ts";

/** Several sweeps on common engine speeds: their mean, and the least and greatest of them where at least two reach. */
export function acrossSweeps(
  sweeps: readonly SweepDetail[],
  of: (detail: SweepDetail) => ArrayLike<number>,
): { rpm: Float64Array; mean: Float64Array; low: Float64Array; high: Float64Array } {
  const from = Math.min(...sweeps.map((detail) => detail.rpm[0] ?? Number.POSITIVE_INFINITY));
  const to = Math.max(...sweeps.map((detail) => detail.rpm[detail.rpm.length - 1] ?? Number.NEGATIVE_INFINITY));
  const count = to > from ? 161 : 1;
  const rpm = Float64Array.from({ length: count }, (_, i) => from + (i * (to - from)) / Math.max(1, count - 1));
  const [mean, low, high] = [rpm.map(() => Number.NaN), rpm.map(() => Number.NaN), rpm.map(() => Number.NaN)] as [Float64Array, Float64Array, Float64Array];
  rpm.forEach((at, i) => {
    const values = sweeps.map((detail) => valueAt(detail.rpm, of(detail), at)).filter(Number.isFinite);
    if (values.length === 0) return;
    mean[i] = values.reduce((sum, value) => sum + value, 0) / values.length;
    if (values.length < 2) return;
    low[i] = Math.min(...values);
    high[i] = Math.max(...values);
  });
  return { rpm, mean, low, high };
}

/** Linear between samples; NaN outside what was swept. */
function valueAt(xs: ArrayLike<number>, ys: ArrayLike<number>, at: number): number {
  const last = xs.length - 1;
  if (last < 0 || at < xs[0]! || at > xs[last]!) return Number.NaN;
  const i = Math.min(last - 1, lastAtMost(xs, at));
  if (i < 0) return ys[0]!;
  const span = xs[i + 1]! - xs[i]!;
  return span > 0 ? ys[i]! + ((at - xs[i]!) / span) * (ys[i + 1]! - ys[i]!) : ys[i]!;
}

/** A peak as the result gives it [rpm; kW or Nm]. */
export interface Peak {
  readonly rpm: number;
  readonly value: number;
}

/** Power and torque of all sweeps, and what was recorded with them. */
export function sweepPicture(
  context: Context,
  sweeps: readonly SweepDetail[],
  caption: string,
  peaks?: { readonly power: Peak; readonly torque: Peak },
  mainPx?: number,
): Picture | undefined {
  const drawn = sweeps.filter((detail) => detail.rpm.length > 1).map(ascending);
  if (drawn.length === 0) return undefined;
  const w = context.texts.pictures;
  const panels: SweepPanel[] = [
    mainPanel(context, drawn, w.power, "kW", (detail) => detail.powerKw, peaks?.power, mainPx),
    mainPanel(context, drawn, w.torque, "Nm", (detail) => detail.torqueNm, peaks?.torque, mainPx),
  ];
  const withLambda = drawn.filter((detail) => detail.lambda !== undefined);
  if (withLambda.length > 0) panels.push(lambdaPanel(context, withLambda));
  const withKnock = drawn.filter((detail) => detail.knockRetardDeg !== undefined);
  if (withKnock.length > 0) panels.push(knockPanel(context, withKnock));
  panels.push(...SIGNAL_PANELS.flatMap((panel) => signalPanel(context, drawn, panel)));
  return sweep({ id: context.pictureId(), title: `${w.power}, ${w.torque}`, caption, x: { name: "Engine speed", unit: "rpm" }, panels, words: w });
}

/** Signals that are drawn as their mean, with what bounds them. */
interface SignalPanel {
  readonly key: "sparkDeg" | "mapKpa" | "injectorDutyPercent" | "slipRpm" | "intakeAirC";
  readonly target?: "mapTargetKpa";
  readonly name: "spark" | "map" | "duty" | "slip" | "intakeAir";
  readonly unit: string;
  readonly limit?: { readonly above: number; readonly label: "dutyLimit" | "slipLimit" };
}

/** Low enough that power, torque and all signals share a page with the words. */
const SIGNAL_PX = 66;

const SIGNAL_PANELS: readonly SignalPanel[] = [
  { key: "sparkDeg", name: "spark", unit: "deg" },
  { key: "mapKpa", target: "mapTargetKpa", name: "map", unit: "kPa" },
  { key: "injectorDutyPercent", name: "duty", unit: "%", limit: { above: 90, label: "dutyLimit" } },
  { key: "slipRpm", name: "slip", unit: "rpm", limit: { above: 50, label: "slipLimit" } },
  { key: "intakeAirC", name: "intakeAir", unit: "°C" },
];

function signalPanel(context: Context, sweeps: readonly SweepDetail[], { key, target, name, unit, limit }: SignalPanel): SweepPanel[] {
  const t = context.texts.pulls;
  const measure = context.measures(unit);
  const shown = (of: (detail: SweepDetail) => ArrayLike<number> | undefined) => {
    const having = sweeps.flatMap((detail) => {
      const values = of(detail);
      return values === undefined || !Array.from(values).some(Number.isFinite) ? [] : [{ ...detail, value: measure.all(values) }];
    });
    return having.length === 0 ? undefined : { ...acrossSweeps(having, (detail) => (detail as (typeof having)[number]).value), several: having.length > 1 };
  };
  const measured = shown((detail) => detail[key]);
  if (measured === undefined) return [];
  const wanted = target === undefined ? undefined : shown((detail) => detail[target]);
  return [
    {
      quantity: { name: t[name], unit: measure.symbol },
      heightPx: SIGNAL_PX,
      lines: [
        { label: t.measured, x: measured.rpm, y: measured.mean, weight: "main" },
        ...(wanted === undefined ? [] : [{ label: t.commanded, x: wanted.rpm, y: wanted.mean, weight: "target" } as const]),
      ],
      band: measured.several ? { x: measured.rpm, low: measured.low, high: measured.high } : undefined,
      limit: limit === undefined ? undefined : { above: measure.of(limit.above), label: t[limit.label] },
    },
  ];
}

/** Means of the sweeps of two calibrations over each other, and by how much they differ with the interval of that. */
export function gainPicture(context: Context, from: SweepSeries, to: SweepSeries, gain: SweepGain, caption: string): Picture | undefined {
  const [before, after] = [from, to].map(({ sweeps }) => sweeps.filter((detail) => detail.rpm.length > 1).map(ascending));
  if (before === undefined || after === undefined || before.length === 0 || after.length === 0) return undefined;
  const t = context.texts.pulls;
  const w = context.texts.pictures;
  const both = (name: string, unit: string, of: (detail: SweepDetail) => ArrayLike<number>): SweepPanel => {
    const measure = context.measures(unit);
    const line = (sweeps: readonly SweepDetail[], label: string, weight: "main" | "target"): SweepLine => {
      const across = acrossSweeps(sweeps, of);
      return { label, x: across.rpm, y: measure.all(across.mean), weight };
    };
    return { quantity: { name, unit: measure.symbol }, fromZero: true, lines: [line(before, from.name, "target"), line(after, to.name, "main")] };
  };
  const rpm = gain.byRpm.map((at) => at.rpm);
  const difference: SweepPanel = {
    quantity: { name: t.difference, unit: "%" },
    heightPx: 120,
    fromZero: true,
    lines: [{ label: t.difference, x: rpm, y: gain.byRpm.map((at) => at.differencePercent), weight: "main" }],
    band: { x: rpm, low: gain.byRpm.map((at) => at.lowPercent), high: gain.byRpm.map((at) => at.highPercent), label: t.interval },
  };
  const panels = [both(w.power, "kW", (detail) => detail.powerKw), both(w.torque, "Nm", (detail) => detail.torqueNm), difference];
  return sweep({ id: context.pictureId(), title: `${from.name}, ${to.name}`, caption, x: { name: "Engine speed", unit: "rpm" }, panels, words: w });
}

const COLUMNS = [
  "powerKw",
  "torqueNm",
  "lambda",
  "lambdaTarget",
  "knockRetardDeg",
  "sparkDeg",
  "mapKpa",
  "mapTargetKpa",
  "injectorDutyPercent",
  "slipRpm",
  "intakeAirC",
] as const satisfies readonly (keyof SweepDetail)[];

function ascending(detail: SweepDetail): SweepDetail {
  const order = Array.from(detail.rpm, (_, i) => i)
    .filter((i) => Number.isFinite(detail.rpm[i]!))
    .sort((a, b) => detail.rpm[a]! - detail.rpm[b]!);
  const pick = (values: ArrayLike<number>): Float64Array => Float64Array.from(order, (i) => values[i]!);
  const columns = COLUMNS.flatMap((name) => {
    const values = detail[name];
    return values === undefined ? [] : [[name, pick(values)] as const];
  });
  return { ...detail, rpm: pick(detail.rpm), ...Object.fromEntries(columns) };
}

function mainPanel(
  context: Context,
  sweeps: readonly SweepDetail[],
  name: string,
  unit: string,
  of: (detail: SweepDetail) => ArrayLike<number>,
  peak: Peak | undefined,
  heightPx: number | undefined,
): SweepPanel {
  const { texts, measures } = context;
  const measure = measures(unit);
  const shown = sweeps.map((detail) => ({ ...detail, value: measure.all(of(detail)) }));
  const across = acrossSweeps(shown, (detail) => (detail as (typeof shown)[number]).value);
  const several = shown.length > 1;
  return {
    quantity: { name, unit: measure.symbol },
    heightPx,
    fromZero: true,
    lines: [
      ...(several ? shown.map((detail): SweepLine => ({ label: texts.pulls.single, x: detail.rpm, y: detail.value, weight: "run" })) : []),
      { label: several ? texts.pulls.middle : texts.pulls.one, x: across.rpm, y: across.mean, weight: "main" },
    ],
    band: several ? { x: across.rpm, low: across.low, high: across.high } : undefined,
    peak: peak === undefined ? undefined : { x: peak.rpm, y: measure.of(peak.value) },
  };
}

function lambdaPanel(context: Context, sweeps: readonly SweepDetail[]): SweepPanel {
  const { texts, measures } = context;
  const across = acrossSweeps(sweeps, (detail) => detail.lambda!);
  const targets = sweeps.find((detail) => detail.lambdaTarget !== undefined);
  const leanest = targets === undefined ? undefined : Math.max(...Array.from(targets.lambdaTarget!).filter(Number.isFinite)) * 1.05;
  return {
    quantity: { name: texts.pulls.lambda, unit: measures("lambda").symbol },
    heightPx: 84,
    lines: [
      { label: texts.pulls.measured, x: across.rpm, y: across.mean, weight: "main" },
      ...(targets === undefined ? [] : [{ label: texts.pulls.commanded, x: targets.rpm, y: targets.lambdaTarget!, weight: "target" } as const]),
    ],
    band: sweeps.length > 1 ? { x: across.rpm, low: across.low, high: across.high } : undefined,
    limit: leanest === undefined || !Number.isFinite(leanest) ? undefined : { above: leanest, label: texts.pulls.leanLimit },
  };
}

/** The highest retard of all sweeps: one sweep that knocks is enough. */
function knockPanel(context: Context, sweeps: readonly SweepDetail[]): SweepPanel {
  const t = context.texts.pulls;
  const across = acrossSweeps(sweeps, (detail) => detail.knockRetardDeg!);
  const worst = across.mean.map((value, i) => (Number.isNaN(across.high[i]!) ? value : across.high[i]!));
  return {
    quantity: { name: t.knock, unit: context.measures("deg").symbol },
    heightPx: 84,
    fromZero: true,
    lines: [{ label: sweeps.length > 1 ? t.highest : t.measured, x: across.rpm, y: worst, weight: "main" }],
    limit: { above: 3, label: t.knockLimit },
  };
}
