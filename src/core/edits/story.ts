import type { EditKind } from "../result/index.ts";
import type { Rectangle } from "./comparison.ts";

/** One candidate explanation of a table, with the length of the message that it makes. */
export interface Story {
  readonly kind: EditKind;
  readonly bits: number;
  /** Cells the story does not explain. */
  readonly unexplained: number;
  readonly by?: number;
  readonly rectangle?: Rectangle;
  /** What the words need beyond kind, number and place. */
  readonly detail?: string;
  /** Cells cut at a ceiling or floor beside what the story says. */
  readonly cut?: { readonly count: number; readonly at: number; readonly side: "ceiling" | "floor" };
}
