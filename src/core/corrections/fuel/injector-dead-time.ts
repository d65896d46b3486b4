import type { Table } from "../../tables/index.ts";
import { columnsOf, withCells } from "../../tables/index.ts";
import { defineCorrection } from "../define.ts";
import { REFERENCE_V } from "./injector-fit.ts";
import { namedInjectors } from "./injector-names.ts";
import { injectorSuspicion } from "./injector-suspicion.ts";

/** Injectors of one type scatter by about this [ms]; less is no reason to touch the table. Common practice, no published source. */
const LEAST_CHANGE_MS = 0.02;
/** How many of its own deviations an error must be worth to be believed. */
const CLEAR = 2;
/** No injector opens in less [ms]. Common practice, no published source. */
const LEAST_DEAD_TIME_MS = 0.05;

export default defineCorrection({
  id: "fuel.injector-dead-time",
  title: "Injector dead time from the drive",
  writes: "fuel.injector-dead-time",
  needs: ["fuel.injector-dead-time", "fuel.injector-flow"],
  observationsNeeded:
    "Steady warm driving from idle to full load with trims, pulse width and battery voltage, and measured lambda or closed loop: dead time shows at short pulses, flow at all.",
  why: "A wrong dead time takes a fixed slice of every pulse: idle and light load run off, full load does not, and every change of battery voltage brings the error back.",
  heldBy: [],
  largestStep: Number.POSITIVE_INFINITY,
  sources: ["PH-05", "RT-11", "common-practice", "rasmussen-williams-2006"],
  compute(input) {
    const table = input.table["fuel.injector-dead-time"]!;
    const suspicion = injectorSuspicion(input);
    if (suspicion.kind === "none") return {};
    const fit = input.shared.injectors();
    if (fit === undefined)
      return { couldNot: "fuel.injector-dead-time was not corrected: the recordings hold too little steady running with trims and lambda" };
    const shift = fit.shiftMs(REFERENCE_V);
    const sd = fit.shiftSdMs(REFERENCE_V);
    if (Math.abs(shift) <= Math.max(LEAST_CHANGE_MS, CLEAR * sd)) return {};
    const volts = voltsOf(table);
    const cells = table.cells.map((cell, k) => Math.max(LEAST_DEAD_TIME_MS, cell + fit.shiftMs(volts[k]!)));
    const names = namedInjectors({ flow: input.table["fuel.injector-flow"]!, deadTime: withCells(table, cells) }, input);
    return {
      change: {
        cells,
        sd: volts.map((v) => Math.hypot(fit.shiftSdMs(v), LEAST_CHANGE_MS)),
        sdKind: "absolute",
        coverage: new Float64Array(table.cells.length).fill(fit.effective),
        limited: ["Below the voltages driven the shift follows the usual growth as voltage falls: confirm it in a cold start, or from a data sheet."],
        why:
          `The fuel residual goes as one over the open time of the pulse: the injectors open ${Math.abs(shift).toFixed(2)} ms ${shift > 0 ? "later" : "sooner"} than the table says at ${REFERENCE_V} V ` +
          `(90 % interval ${(shift - 1.645 * sd).toFixed(2)} to ${(shift + 1.645 * sd).toFixed(2)} ms). ${names}`.trim(),
        ...(suspicion.kind === "behind" ? { heldBecause: suspicion.fault } : {}),
      },
    };
  },
});

/** Battery voltage of each cell; a single value is that at the reference voltage. */
function voltsOf(table: Table): Float64Array {
  const columns = columnsOf(table);
  return table.cells.map((_, k) => table.x?.values[k % columns] ?? REFERENCE_V);
}
