import type { PowerStandard } from "./define.ts";
import { din70020 } from "./din-70020.ts";
import { iso1585 } from "./iso-1585.ts";
import { jisD1001 } from "./jis-d-1001.ts";
import { older60F } from "./older-60f.ts";
import { saeJ1349 } from "./sae-j1349.ts";
import { unR85 } from "./un-r85.ts";
import { uncorrected } from "./uncorrected.ts";

export type { PowerStandard, Validity } from "./define.ts";
export { saeJ1349WithFrictionKw } from "./sae-j1349.ts";

/** All power standards, by id. */
export const POWER_STANDARDS: readonly PowerStandard[] = [din70020, iso1585, jisD1001, uncorrected, older60F, saeJ1349, unR85];

/** @throws RangeError for an unknown id: the caller's mistake. */
export function powerStandard(id: string): PowerStandard {
  const found = POWER_STANDARDS.find((standard) => standard.id === id);
  if (found === undefined) throw new RangeError(`no power standard "${id}"; there are ${POWER_STANDARDS.map((s) => s.id).join(", ")}`);
  return found;
}
