import type { MeterPlant } from "./vehicle.ts";

/** Mass flow that a meter of this type passes at a frequency [g/s], as its maker's curve says. */
export function designFlowGps(meter: MeterPlant, hz: number): number {
  const log = Math.log(hz / 1000);
  return Math.exp(meter.a + meter.b * log + meter.c * log * log);
}

/** Relative error of this meter in its tube at a frequency: true flow = design flow · (1 + error). */
export function meterError(meter: MeterPlant, hz: number): number {
  return errorAt(meter.errors, hz);
}

/** Sum of smooth relative errors at a frequency. */
export function errorAt(errors: MeterPlant["errors"], hz: number): number {
  const log = Math.log(hz / 1000);
  let sum = 0;
  for (const e of errors) sum += e.amplitude * Math.cos(e.perLog * log + e.phase);
  return sum;
}

/** True mass flow through this meter at a frequency [g/s]. */
export function trueMeterFlowGps(meter: MeterPlant, hz: number): number {
  return designFlowGps(meter, hz) * (1 + meterError(meter, hz));
}

/** The true flow over frequency tabulated for fast inversion; strictly rising. */
export interface MeterInverse {
  readonly logFlow: Float64Array;
  readonly lowHz: number;
  readonly stepHz: number;
}

export function invertMeter(meter: MeterPlant): MeterInverse {
  const lowHz = 500;
  const stepHz = 50;
  const count = Math.ceil((meter.highestHz * 1.3 - lowHz) / stepHz);
  const logFlow = new Float64Array(count);
  for (let i = 0; i < count; i++) logFlow[i] = Math.log(trueMeterFlowGps(meter, lowHz + i * stepHz));
  for (let i = 1; i < count; i++) if (logFlow[i]! <= logFlow[i - 1]!) logFlow[i] = logFlow[i - 1]! + 1e-6;
  return { logFlow, lowHz, stepHz };
}

/** Frequency that the meter gives at a flow [Hz]; never under 400, its signal at rest. */
export function meterHz(inverse: MeterInverse, flowGps: number): number {
  if (!(flowGps > 1e-3)) return 400;
  const want = Math.log(flowGps);
  const { logFlow, lowHz, stepHz } = inverse;
  if (want <= logFlow[0]!) return Math.max(400, lowHz * Math.exp(0.6 * (want - logFlow[0]!)));
  let low = 0;
  let high = logFlow.length - 1;
  if (want >= logFlow[high]!) return lowHz + high * stepHz;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (logFlow[middle]! <= want) low = middle;
    else high = middle;
  }
  return lowHz + (low + (want - logFlow[low]!) / (logFlow[high]! - logFlow[low]!)) * stepHz;
}
