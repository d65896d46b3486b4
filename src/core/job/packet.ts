import type { Problem } from "../../base/index.ts";
import type { Recording } from "../recordings/index.ts";
import type { Intake } from "../result/index.ts";
import type { Calibration } from "../tables/index.ts";

/** A packet after reading: plain data in canonical units, and what was wrong with the files. */
export interface Packet {
  readonly intake: Intake;
  readonly asReceived: Calibration | undefined;
  readonly reference: Calibration | undefined;
  readonly recordings: readonly Recording[];
  readonly pulls: readonly Recording[];
  readonly problems: readonly Problem[];
  /** Remarks of the readers that are worth saying: roles proposed, tables left out. */
  readonly remarks: readonly string[];
}
