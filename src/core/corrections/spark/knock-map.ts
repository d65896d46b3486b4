import type { Observations } from "../../residuals/index.ts";

/** A time at which the controller took spark out for knock: where the engine ran when retard was greatest. */
export interface KnockEvent {
  readonly recording: string;
  readonly atS: number;
  readonly rpm: number;
  readonly airG: number;
  readonly retardDeg: number;
}

/** Knock and time under load, from all recordings. */
export interface KnockMap {
  readonly events: readonly KnockEvent[];
  /** Loaded running, one entry a sample: where, and for how long [s]. */
  readonly rpm: Float64Array;
  readonly airG: Float64Array;
  readonly seconds: Float64Array;
}

/** Retard below this is noise [deg]. @source RT-17 */
const LEAST_RETARD_DEG = 1;
/** Retard within this time belongs to one event [s]: controllers give it back slowly. */
const ONE_EVENT_S = 2;
const LOADED_SHARE = 0.5;
const DRIVEN_RPM = 900;

/** Undefined when no recording holds knock retard under load. */
export function knockMap(observations: readonly Observations[], cylinders: number): KnockMap | undefined {
  const events: KnockEvent[] = [];
  const rpm: number[] = [];
  const airG: number[] = [];
  const seconds: number[] = [];
  for (const o of observations) {
    let lastS = Number.NEGATIVE_INFINITY;
    for (let i = 0; i < o.n; i++) {
      const retard = o.knockRetardDeg[i]!;
      const air = (o.controllerGps[i]! * 120) / (o.rpm[i]! * cylinders);
      if (Number.isNaN(retard) || !(o.mapKpa[i]! > LOADED_SHARE * o.baroKpa[i]!) || !(o.rpm[i]! > DRIVEN_RPM) || !(air > 0)) continue;
      rpm.push(o.rpm[i]!);
      airG.push(air);
      seconds.push(o.dtS);
      if (retard < LEAST_RETARD_DEG) continue;
      const event = { recording: o.recording.file, atS: o.timeS[i]!, rpm: o.rpm[i]!, airG: air, retardDeg: retard };
      const current = events.at(-1);
      if (current === undefined || event.atS - lastS >= ONE_EVENT_S || current.recording !== event.recording) events.push(event);
      else if (retard > current.retardDeg) events[events.length - 1] = event;
      lastS = event.atS;
    }
  }
  return rpm.length === 0 ? undefined : { events, rpm: Float64Array.from(rpm), airG: Float64Array.from(airG), seconds: Float64Array.from(seconds) };
}
