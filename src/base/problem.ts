/** Where in the input a problem lies. `line` and `column` count from one, as an editor shows them. */
export interface Place {
  readonly file: string;
  readonly line?: number;
  readonly column?: number;
  readonly channel?: string;
  readonly atS?: number;
}

/** What is wrong with an input, and what a person can do about it. */
export interface Problem {
  readonly at: Place;
  readonly what: string;
  readonly do: string;
}

/** Thrown where an input cannot be used at all; carries the one line that a person reads. */
export class UnusableInput extends Error {
  readonly problem: Problem;
  constructor(problem: Problem) {
    super(formatProblem(problem));
    this.name = "UnusableInput";
    this.problem = problem;
  }
}

/** One line: file, place, what is wrong, what to do. Serves stderr, the API and the screen alike. */
export function formatProblem(problem: Problem): string {
  const { file, line, column, channel, atS } = problem.at;
  const place = [file];
  if (line !== undefined) place.push(`line ${line}`);
  if (column !== undefined) place.push(`column ${column}`);
  if (channel !== undefined) place.push(`channel "${channel}"`);
  if (atS !== undefined) place.push(`at ${atS.toFixed(2)} s`);
  return `${place.join(", ")}: ${sentence(problem.what)} ${sentence(problem.do)}`;
}

function sentence(text: string): string {
  const trimmed = text.trim();
  return /[.!?]$/.test(trimmed) ? trimmed : `${trimmed}.`;
}
