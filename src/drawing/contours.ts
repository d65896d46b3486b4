/** A contour: points in data coordinates, in order along the line. */
export interface Contour {
  readonly level: number;
  readonly points: readonly (readonly [number, number])[];
  readonly closed: boolean;
}

/**
 * Contours of a grid given at its nodes, by marching squares with straight interpolation along edges.
 *
 * `cells` is row-major with rows along y; a NaN corner leaves its square out. A saddle is split by the mean of its corners.
 */
export function contours(xs: ArrayLike<number>, ys: ArrayLike<number>, cells: ArrayLike<number>, levels: readonly number[]): Contour[] {
  return levels.flatMap((level) => contoursAt(xs, ys, cells, level));
}

/** Edges are named by number: 2k is the edge right of node k, 2k + 1 the edge above it. */
function contoursAt(xs: ArrayLike<number>, ys: ArrayLike<number>, cells: ArrayLike<number>, level: number): Contour[] {
  const columns = xs.length;
  const rows = ys.length;
  const segments: [number, number][] = [];
  for (let row = 0; row + 1 < rows; row++)
    for (let column = 0; column + 1 < columns; column++) {
      const node = row * columns + column;
      segments.push(...segmentsOfSquare(cells, node, columns, level));
    }
  const place = (edge: number): [number, number] => {
    const node = edge >> 1;
    const other = edge % 2 === 0 ? node + 1 : node + columns;
    const share = (level - cells[node]!) / (cells[other]! - cells[node]!);
    const at = (n: number): [number, number] => [xs[n % columns]!, ys[Math.floor(n / columns)]!];
    const [x0, y0] = at(node);
    const [x1, y1] = at(other);
    return [x0 + share * (x1 - x0), y0 + share * (y1 - y0)];
  };
  return join(segments).map(({ edges, closed }) => ({ level, closed, points: edges.map(place) }));
}

function segmentsOfSquare(cells: ArrayLike<number>, node: number, columns: number, level: number): [number, number][] {
  const corners = [cells[node]!, cells[node + 1]!, cells[node + columns + 1]!, cells[node + columns]!];
  if (corners.some((value) => !Number.isFinite(value))) return [];
  const bits = corners.reduce((sum, value, i) => sum + (value >= level ? 1 << i : 0), 0);
  const bottom = 2 * node;
  const left = 2 * node + 1;
  const right = 2 * (node + 1) + 1;
  const top = 2 * (node + columns);
  const isHighInside = (corners[0]! + corners[1]! + corners[2]! + corners[3]!) / 4 >= level;
  switch (bits) {
    case 1:
    case 14:
      return [[left, bottom]];
    case 2:
    case 13:
      return [[bottom, right]];
    case 3:
    case 12:
      return [[left, right]];
    case 4:
    case 11:
      return [[right, top]];
    case 6:
    case 9:
      return [[bottom, top]];
    case 7:
    case 8:
      return [[left, top]];
    case 5:
      return isHighInside
        ? [
            [left, top],
            [bottom, right],
          ]
        : [
            [left, bottom],
            [right, top],
          ];
    case 10:
      return isHighInside
        ? [
            [left, bottom],
            [right, top],
          ]
        : [
            [left, top],
            [bottom, right],
          ];
    default:
      return [];
  }
}

/** Chains segments that share an edge. */
function join(segments: readonly (readonly [number, number])[]): { edges: number[]; closed: boolean }[] {
  const next = new Map<number, number[]>();
  segments.forEach(([from, to], i) => {
    for (const edge of [from, to]) next.set(edge, [...(next.get(edge) ?? []), i]);
  });
  const used = new Set<number>();
  const follow = (start: number, first: number): number[] => {
    const edges = [start];
    let segment: number | undefined = first;
    while (segment !== undefined) {
      used.add(segment);
      const [from, to]: readonly [number, number] = segments[segment]!;
      const end: number = edges[edges.length - 1] === from ? to : from;
      edges.push(end);
      segment = next.get(end)!.find((candidate) => !used.has(candidate));
    }
    return edges;
  };
  const lines: { edges: number[]; closed: boolean }[] = [];
  for (const [edge, touching] of next) if (touching.length === 1 && !used.has(touching[0]!)) lines.push({ edges: follow(edge, touching[0]!), closed: false });
  segments.forEach(([from], i) => {
    if (!used.has(i)) lines.push({ edges: follow(from, i), closed: true });
  });
  return lines;
}
