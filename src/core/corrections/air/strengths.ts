import {
  emptyNormalEquations,
  emptySkyline,
  gaussianPosterior,
  linearWeights,
  type NodeWeights,
  type NormalEquations,
  nelderMead,
} from "../../statistics/index.ts";
import { columnsOf, rowsOf, type Table } from "../../tables/index.ts";
import { type AirTables, type FieldStrengths, type Layout, layoutOf, priorOf, veAxes } from "./air-prior.ts";

const START: FieldStrengths = { veSd: 0.06, veRangeX: 0.35, veRangeY: 0.5, meterSd: 0.04, meterRange: 0.4 };
/** Spread of ln strengths around the start that is believable before anything is seen. */
const LN_SPREAD: Readonly<Record<keyof FieldStrengths, number>> = { veSd: 0.8, veRangeX: 0.5, veRangeY: 0.5, meterSd: 0.8, meterRange: 0.5 };

/** Finds strengths from the observations: from the usual ones on, or from those of an earlier search. */
export type StrengthSearch = (equations: NormalEquations, from: FieldStrengths | undefined, evaluations: number) => FieldStrengths;

/** Strengths of the fields by maximum evidence; in tables of many cells judged on every other breakpoint, which is finer than the fields vary. */
export function strengthSearch(tables: AirTables, layout: Layout): StrengthSearch {
  const coarse = coarser(tables, layout);
  const prior = coarse === undefined ? priorOf(tables, layout) : priorOf(coarse.tables, coarse.layout);
  const names = (Object.keys(LN_SPREAD) as (keyof FieldStrengths)[]).filter((name) => (name.startsWith("ve") ? tables.ve : tables.meter) !== undefined);
  const strengthsAt = (ln: ArrayLike<number>): FieldStrengths => ({ ...START, ...Object.fromEntries(names.map((name, k) => [name, Math.exp(ln[k]!)])) });
  return (equations, from = START, evaluations) => {
    const judged = coarse === undefined ? equations : coarse.equationsOf(equations);
    const cost = (ln: Float64Array): number => {
      const doubt = names.reduce((sum, name, k) => sum + 0.5 * ((ln[k]! - Math.log(START[name])) / LN_SPREAD[name]) ** 2, 0);
      const posterior = gaussianPosterior(judged, prior(strengthsAt(ln)));
      return posterior === undefined ? Number.POSITIVE_INFINITY : doubt - posterior.logEvidence;
    };
    const start = names.map((name) => Math.log(from[name]));
    return strengthsAt(
      nelderMead(
        cost,
        start,
        names.map(() => 0.4),
        { tolerance: 0.3, evaluations },
      ).at,
    );
  };
}

/** The same observations as a table with fewer cells would see them. */
interface Coarser {
  readonly tables: AirTables;
  readonly layout: Layout;
  readonly equationsOf: (fine: NormalEquations) => NormalEquations;
}

/** Tables up to this size are judged whole: the work goes with the number of cells times the square of the columns. */
const MOST_CELLS = 700;

function coarser(tables: AirTables, layout: Layout): Coarser | undefined {
  const { ve } = tables;
  if (ve?.x === undefined || ve.y === undefined || ve.cells.length <= MOST_CELLS) return undefined;
  const columns = everyOther(columnsOf(ve));
  const rows = everyOther(rowsOf(ve));
  const thinned: Table = {
    ...ve,
    x: { ...ve.x, values: columns.map((k) => ve.x!.values[k]!) },
    y: { ...ve.y, values: rows.map((k) => ve.y!.values[k]!) },
    cells: new Float64Array(columns.length * rows.length),
  };
  const coarseTables = { ...tables, ve: thinned };
  const coarseLayout = layoutOf(coarseTables);
  const shares = sharesOf(ve, columns, rows, layout, coarseLayout);
  return { tables: coarseTables, layout: coarseLayout, equationsOf: (fine) => through(shares, fine, coarseLayout) };
}

/** Places of every other breakpoint, both ends kept. */
function everyOther(length: number): Float64Array {
  return Float64Array.from({ length: Math.floor(length / 2) + 1 }, (_, k) => Math.min(2 * k, length - 1));
}

/** Which coarse unknowns make up each fine one, and by what share: unknown i owns entries `start[i]` … `start[i + 1]` − 1. */
interface Shares {
  readonly start: Int32Array;
  readonly unknown: Int32Array;
  readonly share: Float64Array;
}

/** Straight lines between the breakpoints that are kept, along the axes by which fields vary; what is no VE cell is taken over as it is. */
function sharesOf(ve: Table, columns: Float64Array, rows: Float64Array, layout: Layout, coarse: Layout): Shares {
  const axes = veAxes(ve);
  const along = (axis: Float64Array, kept: Float64Array): NodeWeights[] => {
    const nodes = kept.map((k) => axis[k]!);
    return Array.from(axis, (at) => linearWeights(nodes, at));
  };
  const [alongX, alongY] = [along(axes.x, columns), along(axes.y, rows)];
  const start = new Int32Array(layout.size + 1);
  const unknown: number[] = [];
  const share: number[] = [];
  for (let i = 0; i < layout.size; i++) {
    if (i >= layout.meter) {
      unknown.push(i - layout.meter + coarse.meter);
      share.push(1);
    } else {
      const [x, y] = [alongX[i % alongX.length]!, alongY[Math.floor(i / alongX.length)]!];
      for (let row = 0; row < 2; row++)
        for (let column = 0; column < 2; column++) {
          const product = x.weights[column]! * y.weights[row]!;
          if (product === 0) continue;
          unknown.push((y.first + row) * columns.length + x.first + column);
          share.push(product);
        }
    }
    start[i + 1] = unknown.length;
  }
  return { start, unknown: Int32Array.from(unknown), share: Float64Array.from(share) };
}

/** Normal equations in the coarse unknowns φ, where the fine ones are θ = P·φ: PᵀAᵀWA·P and PᵀAᵀWy. */
function through({ start, unknown, share }: Shares, fine: NormalEquations, layout: Layout): NormalEquations {
  const { matrix, right } = fine;
  const into = { ...emptyNormalEquations(emptySkyline(layout.first)), squares: fine.squares, logWeights: fine.logWeights, count: fine.count };
  const { first, start: rowStart, values } = into.matrix;
  for (let i = 0; i < matrix.n; i++) {
    for (let a = start[i]!; a < start[i + 1]!; a++) into.right[unknown[a]!] = into.right[unknown[a]!]! + share[a]! * right[i]!;
    for (let j = matrix.first[i]!; j <= i; j++) {
      const value = matrix.values[matrix.start[i]! + j - matrix.first[i]!]!;
      if (value === 0) continue;
      for (let a = start[i]!; a < start[i + 1]!; a++)
        for (let b = start[j]!; b < start[j + 1]!; b++) {
          const [row, column] = [Math.max(unknown[a]!, unknown[b]!), Math.min(unknown[a]!, unknown[b]!)];
          // One half is stored: on the diagonal both halves of an element off it meet, and of an element on it either order of a pair is the same one.
          const times = i === j ? (unknown[a]! < unknown[b]! ? 0 : 1) : row === column ? 2 : 1;
          const at = rowStart[row]! + column - first[row]!;
          values[at] = values[at]! + times * share[a]! * share[b]! * value;
        }
    }
  }
  return into;
}
