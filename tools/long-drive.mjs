// A packet with one long drive of the virtual vehicle, at a rate of our choice.
import { built } from "./built.mjs";

/** @typedef {import("../src/core/recordings/index.ts").Recording} Recording */

const { describeSignal } = await built("core/units/index");
const { DIALECTS, makePacket, packetFiles } = await built("core/virtual-engine/index");

/** The value of a channel at times that ascend: states are held, everything else is interpolated; NaN before the first sample.
 * @param {Float64Array} timeS @param {Float64Array} values @param {boolean} isState
 */
function sampler(timeS, values, isState) {
  const known = [...timeS.keys()].filter((i) => !Number.isNaN(values[i]));
  const sample = (/** @type {number} */ k) => {
    const i = known[k] ?? -1;
    return { atS: timeS[i] ?? Number.POSITIVE_INFINITY, value: values[i] ?? Number.NaN };
  };
  let next = 0;
  return (/** @type {number} */ atS) => {
    while (sample(next).atS <= atS) next++;
    const before = sample(next - 1);
    const after = sample(next);
    if (isState || Number.isNaN(after.value)) return before.value;
    return before.value + ((atS - before.atS) / (after.atS - before.atS)) * (after.value - before.value);
  };
}

/** @param {Recording} recording @param {{ minutes: number, rateHz: number }} wanted
 * @returns {Recording}
 */
function resampled(recording, { minutes, rateHz }) {
  const lastS = recording.timeS.at(-1) ?? 0;
  const length = Math.floor(Math.min(lastS, minutes * 60) * rateHz);
  const timeS = Float64Array.from({ length }, (_, i) => i / rateHz);
  const channels = Object.entries(recording.channels).map(([signal, channel]) => {
    const at = sampler(recording.timeS, channel.values, describeSignal(signal).isState === true);
    return [signal, { ...channel, values: timeS.map(at) }];
  });
  return { ...recording, timeS, channels: Object.fromEntries(channels), others: [] };
}

/**
 * @param {{ seed: number, minutes: number, rateHz: number }} wanted
 * @returns {{ path: string, text: string }[]} files of the packet
 */
export function longDrive(wanted) {
  const made = makePacket(wanted.seed, { minutes: wanted.minutes });
  const [longest] = [...made.packet.recordings].sort((a, b) => b.timeS.length - a.timeS.length);
  const recordings = [resampled(longest, wanted)];
  return packetFiles(
    { ...made, packet: { ...made.packet, recordings, pulls: [] } },
    { dialect: DIALECTS[0], roles: "all" },
  );
}
