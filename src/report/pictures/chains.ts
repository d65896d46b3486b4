import { columnsOf, type Table } from "../../core/tables/index.ts";
import { type ChainSpec, chain, decimalsFor, extent, formatNumber, type Picture, unitAfter } from "../../drawing/index.ts";
import type { Context } from "../context.ts";

/** The chain that a finding is about, where its tables are at hand. */
export function chainFor(context: Context, check: string): Picture | undefined {
  if (check.startsWith("torque.")) return torqueChain(context);
  if (check === "trans.pressure-over-ceiling") return pressureChain(context);
  return undefined;
}

function byRole(context: Context, role: string): Table | undefined {
  return context.model.asReceived?.find((table) => table.role === role);
}

/**
 * Torque reduction asked for in a shift → torque lost to retard, read backwards → the retard that comes out. The look-up is the
 * controller's own: the smallest retard whose loss reaches the request.
 */
function torqueChain(context: Context): Picture | undefined {
  const request = byRole(context, "torque.shift-reduction");
  const loss = byRole(context, "torque.spark-loss");
  if (request?.x === undefined || request.y === undefined || loss?.x === undefined) return undefined;
  const { texts, measures } = context;
  const t = texts.chains;
  const columns = columnsOf(request);
  const mostLoss = Math.max(...loss.cells);
  const asked = extent(request.cells) ?? [0, 0];
  const retard = request.cells.map((share) => retardFor(loss, share));
  const isDead = mostLoss <= 0 && asked[1] > 0;
  const isShort = !isDead && asked[1] > mostLoss;
  const column = (cells: ArrayLike<number>, k: number): Float64Array => Float64Array.from(request.y!.values, (_, row) => cells[row * columns + k]!);
  const shownColumns = [...new Set([0, columns - 1])];
  const torque = measures(request.y.unit);
  const xOfTorque = { name: request.y.name, unit: torque.symbol, values: torque.all(request.y.values) };
  const percent = (share: number): string => `${formatNumber(share * 100, 0)} %`;
  const spec: ChainSpec = {
    id: context.pictureId(),
    title: `${request.title} → ${loss.title}`,
    caption: isDead ? t.captionBroken : isShort ? t.captionShort : t.captionWhole,
    steps: [
      {
        part: t.request,
        name: request.title,
        says: asked[1] > 0 ? t.asks(percent(asked[0]), percent(asked[1])) : t.asksNothing,
        profile: { x: xOfTorque, y: { name: request.title, unit: measures(request.unit).symbol }, lines: shownColumns.map((k) => column(request.cells, k)) },
      },
      {
        part: t.lookUp,
        name: loss.title,
        says: isDead ? t.lossOfNothing : t.lossReaches(percent(mostLoss)),
        profile: {
          x: { name: loss.x.name, unit: measures(loss.x.unit).symbol, values: loss.x.values },
          y: { name: loss.title, unit: measures(loss.unit).symbol },
          lines: [loss.cells],
        },
        isDead,
      },
      {
        part: t.effect,
        name: t.retard,
        says: isDead
          ? t.retardNone
          : isShort
            ? t.retardShort(degrees(Math.max(...retard)))
            : t.retardSome(degrees(Math.min(...retard)), degrees(Math.max(...retard))),
        profile: { x: xOfTorque, y: { name: t.retard, unit: measures(t.retardUnit).symbol }, lines: shownColumns.map((k) => column(retard, k)) },
        isDead,
      },
    ],
    links: [{ isBroken: false }, { isBroken: isDead || isShort, label: isDead ? t.broken : t.short }],
    words: texts.pictures,
  };
  return chain(spec);
}

function degrees(value: number): string {
  return `${formatNumber(value, value >= 10 ? 0 : 1)}°`;
}

/** Retard whose loss answers a request [deg]; where the table ends below it, its last breakpoint; 0 where nothing is lost. */
function retardFor(loss: Table, share: number): number {
  const degreesOf = loss.x!.values;
  for (let i = 0; i < degreesOf.length; i++) {
    if (loss.cells[i]! < share) continue;
    if (i === 0) return degreesOf[0]!;
    const [low, high] = [loss.cells[i - 1]!, loss.cells[i]!];
    return degreesOf[i - 1]! + ((share - low) / (high - low)) * (degreesOf[i]! - degreesOf[i - 1]!);
  }
  return Math.max(...loss.cells) > 0 ? degreesOf[degreesOf.length - 1]! : 0;
}

/** Line pressure commanded → the ceiling of the valve body → what reaches the clutches. */
function pressureChain(context: Context): Picture | undefined {
  const pressure = byRole(context, "trans.line-pressure");
  const ceiling = byRole(context, "trans.line-pressure-ceiling");
  if (pressure?.x === undefined || ceiling === undefined) return undefined;
  const { texts, measures } = context;
  const t = texts.chains;
  const columns = columnsOf(pressure);
  const limit = ceiling.cells[0]!;
  const over = pressure.cells.filter((cell) => cell > limit).length;
  const measure = measures(pressure.unit);
  const torque = measures(pressure.x.unit);
  const x = { name: pressure.x.name, unit: torque.symbol, values: torque.all(pressure.x.values) };
  const lastRow = measure.all(pressure.cells.slice(pressure.cells.length - columns));
  const limitShown = measure.of(limit);
  const write = (value: number): string => unitAfter(formatNumber(value, decimalsFor(value)), measure.symbol);
  return chain({
    id: context.pictureId(),
    title: `${pressure.title} → ${ceiling.title}`,
    caption: t.pressureCaption(over),
    steps: [
      {
        part: t.request,
        name: pressure.title,
        says: t.pressureAsked(write(Math.max(...lastRow))),
        profile: { x, y: { name: pressure.title, unit: measure.symbol }, lines: [lastRow] },
      },
      {
        part: t.lookUp,
        name: ceiling.title,
        says: t.ceilingSays(write(limitShown)),
        profile: { x, y: { name: ceiling.title, unit: measure.symbol }, lines: [lastRow.map(() => limitShown)] },
      },
      {
        part: t.effect,
        name: t.pressureGot,
        says: t.pressureDumped,
        profile: { x, y: { name: t.pressureGot, unit: measure.symbol }, lines: [lastRow.map((value) => (value > limitShown ? Number.NaN : value))] },
        isDead: over > 0,
      },
    ],
    links: [{ isBroken: false }, { isBroken: over > 0, label: t.dumped }],
    words: texts.pictures,
  });
}
