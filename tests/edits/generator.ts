import type { Random } from "../../src/base/index.ts";
import type { EditKind } from "../../src/core/result/index.ts";
import { type Axis, columnsOf, lookUp, rowsOf, type Table } from "../../src/core/tables/index.ts";
import { drawTable, drawVehicle, FACTORY_ROLES, type FactoryTable, hasOtherUnit, onGrid, printed } from "./factory.ts";

/** One planted edit: the pair of tables, the kind, and the kinds that describe it as well. */
export interface PlantedEdit {
  readonly received: Table;
  readonly reference: Table;
  readonly kind: EditKind;
  readonly accept: readonly EditKind[];
  readonly by?: number;
  readonly region?: readonly [number, number, number, number];
  readonly what: string;
}

export const PLANTED_KINDS = [
  "unchanged",
  "scaled",
  "offset",
  "zeroed",
  "flattened",
  "clamped",
  "patched",
  "part-scaled",
  "part-offset",
  "smoothed",
  "spiked",
  "reshaped",
  "axes-changed",
] as const satisfies readonly EditKind[];

const WRITE_LIMITS: Readonly<Record<string, number>> = { "%": 100, fraction: 1 };

/** Draws one edit of a kind; undefined when this table cannot carry it (a single value cannot be smoothed). */
export function plantEdit(kind: (typeof PLANTED_KINDS)[number], random: Random): PlantedEdit {
  for (;;) {
    const vehicle = drawVehicle(random);
    const role = random.pick(FACTORY_ROLES);
    const other = random.chance(0.3) && hasOtherUnit(role);
    const made = drawTable(role, vehicle, random, other);
    const planted = PLANTERS[kind](made, random);
    if (planted === undefined) continue;
    const stored = planted.cells.map((v) => onGrid(v, made.step));
    const otherSheet = random.chance(0.15) && hasOtherUnit(role) && !other;
    const received = printed(
      { ...made.table, ...planted.axes, cells: stored },
      otherSheet ? drawTable(role, vehicle, random, true).table.format : made.table.format,
    );
    const moved =
      received.cells.length !== made.table.cells.length || stored.some((v, i) => Math.abs(v - onGrid(made.table.cells[i]!, made.step)) > 0.4 * made.step);
    if (kind !== "unchanged" && kind !== "axes-changed" && !moved) continue;
    if (planted.proof !== undefined && !planted.proof(stored, made)) continue;
    return {
      received,
      reference: made.table,
      kind,
      accept: [kind, ...(planted.accept ?? []), ...alsoTrue(made.table.cells, stored, made.step)],
      by: planted.by,
      region: planted.region,
      what: `${role} ${rowsOf(made.table)}x${columnsOf(made.table)} step ${made.step} ${planted.what}`,
    };
  }
}

/** Kinds that describe the stored cells just as exactly as the planted one: a patch at the end of a rising curve is a ceiling as well. */
function alsoTrue(reference: Float64Array, stored: Float64Array, step: number): EditKind[] {
  const [top, bottom] = [Math.max(...stored), Math.min(...stored)];
  const fits = (predict: (r: number) => number): boolean => stored.every((v, i) => Math.abs(v - predict(reference[i]!)) < 0.4 * step);
  const also: EditKind[] = [];
  if (fits((r) => Math.min(top, r)) || fits((r) => Math.max(bottom, r))) also.push("clamped");
  const moves = Array.from(stored, (v, i) => v - reference[i]!).filter((d) => Math.abs(d) > 0.4 * step);
  const before = new Set(Array.from(reference).filter((r, i) => Math.abs(stored[i]! - r) > 0.4 * step));
  if (stored.length > 1 && moves.length < stored.length && before.size === 1 && Math.max(...moves) - Math.min(...moves) < 0.4 * step)
    also.push("patched", "part-offset", "part-scaled");
  return also;
}

interface Plan {
  readonly cells: Float64Array;
  readonly axes?: { readonly x?: Axis; readonly y?: Axis };
  readonly by?: number;
  readonly region?: readonly [number, number, number, number];
  readonly accept?: readonly EditKind[];
  readonly what: string;
  readonly proof?: (stored: Float64Array, made: FactoryTable) => boolean;
}

type Planter = (made: FactoryTable, random: Random) => Plan | undefined;

const isSwitch = (t: Table): boolean => t.unit === "0/1";
const isSingle = (t: Table): boolean => t.cells.length === 1;
const limited = (t: Table, cells: Float64Array): Float64Array => {
  const top = WRITE_LIMITS[t.unit];
  return top === undefined || t.role === "air.ve" ? cells : cells.map((v) => Math.min(top, Math.max(0, v)));
};

function rectangle(t: Table, random: Random, smallest = 2): [number, number, number, number] | undefined {
  const [rows, columns] = [rowsOf(t), columnsOf(t)];
  for (let attempt = 0; attempt < 50; attempt++) {
    const height = rows === 1 ? 1 : random.whole(1, Math.max(1, Math.floor(rows * 0.6)));
    const width = random.whole(1, Math.max(1, Math.floor(columns * 0.6)));
    if (height * width < smallest || height * width > 0.7 * rows * columns) continue;
    const top = random.whole(0, rows - height);
    const left = random.whole(0, columns - width);
    return [top, left, top + height - 1, left + width - 1];
  }
  return undefined;
}

function inside(t: Table, r: readonly [number, number, number, number], change: (value: number, row: number, column: number) => number): Float64Array {
  const columns = columnsOf(t);
  return t.cells.map((v, i) => {
    const row = Math.floor(i / columns);
    const column = i % columns;
    return row >= r[0] && row <= r[2] && column >= r[1] && column <= r[3] ? change(v, row, column) : v;
  });
}

function factor(random: Random): number {
  const k = random.chance(0.3)
    ? 1 + random.pick([-1, 1]) * random.between(0.01, 0.035)
    : random.chance(0.5)
      ? random.between(1.04, 1.4)
      : random.between(0.5, 0.96);
  return Math.round(k * 100) / 100;
}

function addend(made: FactoryTable, random: Random): number {
  const span = Math.max(...made.table.cells) - Math.min(...made.table.cells);
  const typical = Math.max(span * 0.15, Math.abs(made.table.cells[0]!) * 0.05, made.step);
  const steps = Math.max(1, Math.round((typical * random.between(0.15, 1.6)) / made.step));
  return random.pick([-1, 1]) * steps * made.step;
}

const count = (t: Table, stored: Float64Array, step: number): number => stored.filter((v, i) => Math.abs(v - t.cells[i]!) > 0.4 * step).length;

const PLANTERS: Record<(typeof PLANTED_KINDS)[number], Planter> = {
  unchanged: ({ table }) => ({ cells: table.cells, what: "" }),

  scaled: ({ table, step }, random) => {
    if (isSwitch(table) || table.cells.every((v) => v === 0)) return undefined;
    const k = factor(random);
    const cells = limited(
      table,
      table.cells.map((v) => v * k),
    );
    if (table.cells.length > 1 && new Set(cells).size < 2 && new Set(table.cells).size > 1) return undefined;
    // Where rounding hides the factor from all but a few cells nobody can tell; a constant table has no shape to tell by.
    const accept: EditKind[] = new Set(table.cells).size === 1 ? ["offset", "flattened"] : [];
    return { cells, by: k, accept, what: `x${k}`, proof: (stored) => isSingle(table) || count(table, stored, step) >= Math.max(3, 0.25 * stored.length) };
  },

  offset: (made, random) => {
    const { table } = made;
    if (isSwitch(table)) return undefined;
    const d = addend(made, random);
    if (Math.min(...table.cells) + d < 0) return undefined;
    const flat = new Set(table.cells).size === 1;
    return { cells: table.cells.map((v) => v + d), by: d, accept: isSingle(table) || flat ? ["scaled", "flattened"] : [], what: `+${d}` };
  },

  zeroed: ({ table }) => (table.cells.every((v) => v === 0) ? undefined : { cells: new Float64Array(table.cells.length), by: 0, what: "" }),

  flattened: ({ table, step }, random) => {
    if (isSingle(table) || new Set(table.cells).size === 1) return undefined;
    const value = onGrid(random.chance(0.5) ? random.pick([...table.cells]) : random.between(Math.min(...table.cells), Math.max(...table.cells)), step);
    return { cells: table.cells.map(() => value), accept: value === 0 ? ["zeroed"] : [], what: `=${value}` };
  },

  clamped: ({ table, step }, random) => {
    if (isSingle(table) || new Set(table.cells).size < 4) return undefined;
    const sorted = [...table.cells].sort((a, b) => a - b);
    const isCeiling = random.chance(0.7);
    const share = random.between(0.45, 0.97);
    const at = sorted[Math.floor((isCeiling ? share : 1 - share) * (sorted.length - 1))]!;
    const limit = onGrid(at + (random.chance(0.5) ? 0 : step * random.whole(-2, 2)), step);
    if (limit <= sorted[0]! || limit >= sorted.at(-1)!) return undefined;
    return { cells: table.cells.map((v) => (isCeiling ? Math.min(v, limit) : Math.max(v, limit))), what: `${isCeiling ? "ceiling" : "floor"} ${limit}` };
  },

  patched: (made, random) => {
    const { table, step } = made;
    if (table.cells.length < 8) return undefined;
    const r = rectangle(table, random);
    if (r === undefined) return undefined;
    const columns = columnsOf(table);
    const proof = (stored: Float64Array): boolean => count(table, stored, step) >= 2;
    if (random.chance(0.5)) {
      const near = table.cells[r[0] * columns + r[1]]!;
      const value = onGrid(near * random.between(0.8, 1.25) + (random.chance(0.3) ? step : 0), step);
      return { cells: inside(table, r, () => value), region: r, accept: edgeAccept(table, r), what: `value ${value} at ${r}`, proof };
    }
    const side = random.pick(["left", "right", "up", "down", "block"] as const);
    const at = (row: number, column: number): number => table.cells[row * columns + column] ?? Number.NaN;
    const height = r[2] - r[0] + 1;
    const width = r[3] - r[1] + 1;
    const cells = inside(table, r, (_v, row, column) => {
      if (side === "left") return r[1] > 0 ? at(row, r[1] - 1) : Number.NaN;
      if (side === "right") return r[3] + 1 < columns ? at(row, r[3] + 1) : Number.NaN;
      if (side === "up") return r[0] > 0 ? at(r[0] - 1, column) : Number.NaN;
      if (side === "down") return r[2] + 1 < rowsOf(table) ? at(r[2] + 1, column) : Number.NaN;
      return r[0] - height >= 0 ? at(row - height, column) : r[1] - width >= 0 ? at(row, column - width) : Number.NaN;
    });
    if (cells.some((v) => Number.isNaN(v))) return undefined;
    return { cells, region: r, accept: edgeAccept(table, r), what: `copy ${side} at ${r}`, proof };
  },

  "part-scaled": (made, random) => {
    const { table, step } = made;
    if (table.cells.length < 6) return undefined;
    const r = rectangle(table, random);
    if (r === undefined) return undefined;
    const k = factor(random);
    const within: number[] = [];
    const cells = inside(table, r, (v) => {
      within.push(onGrid(v * k, step) - v);
      return v * k;
    });
    if (WRITE_LIMITS[table.unit] !== undefined && table.role !== "air.ve" && cells.some((v) => v > WRITE_LIMITS[table.unit]!)) return undefined;
    const isConstant = Math.max(...within) - Math.min(...within) < 0.4 * step;
    const accept: EditKind[] = isConstant ? ["part-offset", "patched"] : [];
    return { cells, by: k, region: r, accept, what: `x${k} at ${r}`, proof: (stored) => count(table, stored, step) >= Math.max(2, 0.6 * within.length) };
  },

  "part-offset": (made, random) => {
    const { table, step } = made;
    if (isSingle(table) || table.cells.length < 6) return undefined;
    const r = rectangle(table, random);
    if (r === undefined) return undefined;
    const d = addend(made, random);
    const cells = inside(table, r, (v) => v + d);
    if (Math.min(...cells) < 0) return undefined;
    const values = new Set(cells.filter((v, i) => v !== table.cells[i]));
    return {
      cells,
      by: d,
      region: r,
      accept: values.size === 1 ? ["part-scaled", "patched"] : [],
      what: `+${d} at ${r}`,
      proof: (stored) => count(table, stored, step) >= 2,
    };
  },

  smoothed: ({ table, step }, random) => {
    if (table.cells.length < 8) return undefined;
    const passes = random.whole(1, 3);
    const weight = random.pick([0.5, 1 / 3, 0.4, 0.6]);
    const edge = random.pick(["repeat", "share", "keep"] as const);
    let cells: Float64Array = table.cells.slice();
    for (let pass = 0; pass < passes; pass++) cells = boxPass(cells, rowsOf(table), columnsOf(table), weight, edge);
    const floor = Math.max(4, 0.3 * cells.length);
    return { cells, what: `${passes} passes centre ${weight} edge ${edge}`, proof: (stored) => count(table, stored, step) >= floor };
  },

  spiked: ({ table, step }, random) => {
    const n = table.cells.length;
    if (n < 7) return undefined;
    const cells = table.cells.slice();
    const chosen = new Set<number>();
    const columns = columnsOf(table);
    const wanted = random.whole(1, Math.min(6, Math.max(1, Math.floor(n / 7))));
    for (let attempt = 0; attempt < 60 && chosen.size < wanted; attempt++) {
      const at = random.whole(0, n - 1);
      const isNear = [...chosen].some(
        (o) => Math.abs(Math.floor(o / columns) - Math.floor(at / columns)) <= 1 && Math.abs((o % columns) - (at % columns)) <= 1,
      );
      if (!isNear) chosen.add(at);
    }
    const span = Math.max(...table.cells) - Math.min(...table.cells);
    for (const at of chosen) cells[at] = cells[at]! + random.pick([-1, 1]) * Math.max(2 * step, random.between(0.06, 0.3) * span);
    const [low, high] = [Math.min(...table.cells), Math.max(...table.cells)];
    const onlyOne = chosen.size === 1;
    const extreme = [...chosen].every((i) => table.cells[i] === high || table.cells[i] === low);
    return { cells: cells.map((v) => Math.max(0, v)), accept: onlyOne && extreme ? ["clamped"] : [], what: `${chosen.size} cells` };
  },

  reshaped: ({ table, step }, random) => {
    const n = table.cells.length;
    if (n < 6) return undefined;
    const [rows, columns] = [rowsOf(table), columnsOf(table)];
    const span = Math.max(...table.cells) - Math.min(...table.cells);
    const size = Math.max(span * random.between(0.06, 0.35), Math.abs(table.cells[0]!) * 0.04, 6 * step);
    const [cx, cy, wx, wy, tilt] = [random.uniform(), random.uniform(), random.between(0.15, 0.6), random.between(0.15, 0.6), random.between(-0.5, 0.5)];
    const grain = random.chance(0.5) ? random.between(0.05, 0.3) : 0;
    const cells = table.cells.map((v, i) => {
      const x = columns > 1 ? (i % columns) / (columns - 1) : 0.5;
      const y = rows > 1 ? Math.floor(i / columns) / (rows - 1) : 0.5;
      const hump = Math.exp(-(((x - cx) / wx) ** 2) - (rows > 1 ? ((y - cy) / wy) ** 2 : 0));
      return Math.max(0, v + size * (hump + tilt * (x - 0.3) + grain * random.normal()));
    });
    return { cells, what: `hump ${size.toFixed(2)}`, proof: (stored) => count(table, stored, step) >= Math.max(4, 0.4 * n) };
  },

  "axes-changed": ({ table }, random) => {
    if (table.x === undefined || table.cells.length < 4) return undefined;
    const which = table.y !== undefined && random.chance(0.5) ? "y" : "x";
    const old = table[which]!;
    const n = old.values.length;
    const m = random.chance(0.4) ? n : Math.max(3, n + random.pick([-2, -1, 1, 2, 3]));
    const [from, to] = [old.values[0]!, old.values[n - 1]!];
    const stretch = m === n ? random.pick([0.85, 1.1, 1.25]) : 1;
    const values = Float64Array.from({ length: m }, (_, i) => from + ((to - from) * stretch * i) / (m - 1));
    const axes = { x: table.x, y: table.y, [which]: { ...old, values } };
    const cells: number[] = [];
    for (const y of axes.y?.values ?? [0]) for (const x of axes.x.values) cells.push(lookUp(table, x, y));
    const k = random.chance(0.4) ? factor(random) : 1;
    return { cells: Float64Array.from(cells, (v) => v * k), axes, what: `${which} ${n} to ${m}, x${k}` };
  },
};

/** A patch that takes the whole of the large or small cells of a table is a clamp as well. */
function edgeAccept(table: Table, r: readonly [number, number, number, number]): EditKind[] {
  return r[0] === 0 && r[1] === 0 && r[2] === rowsOf(table) - 1 && r[3] === columnsOf(table) - 1 ? ["flattened"] : [];
}

function boxPass(cells: Float64Array, rows: number, columns: number, centre: number, edge: "repeat" | "share" | "keep"): Float64Array {
  const along = (source: Float64Array, n: number, stride: number, starts: readonly number[]): Float64Array => {
    const out = source.slice();
    for (const start of starts)
      for (let i = 0; i < n; i++) {
        const [left, right] = [i > 0, i < n - 1];
        if (edge === "keep" && !(left && right)) continue;
        const side = (1 - centre) / 2;
        const here = source[start + i * stride]!;
        const a = left ? source[start + (i - 1) * stride]! : here;
        const b = right ? source[start + (i + 1) * stride]! : here;
        const weightLeft = left || edge === "repeat" ? side : 0;
        const weightRight = right || edge === "repeat" ? side : 0;
        out[start + i * stride] = (centre * here + weightLeft * a + weightRight * b) / (centre + weightLeft + weightRight);
      }
    return out;
  };
  const acrossX =
    columns > 2
      ? along(
          cells,
          columns,
          1,
          Array.from({ length: rows }, (_, r) => r * columns),
        )
      : cells;
  return rows > 2
    ? along(
        acrossX,
        rows,
        columns,
        Array.from({ length: columns }, (_, c) => c),
      )
    : acrossX;
}
