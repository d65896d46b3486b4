// Makes the bundled example packets anew with the virtual engine: invented vehicles, known truth, the same bytes each time.
// Usage: npm run build && node tools/examples.mjs
import fs from "node:fs";
import path from "node:path";
import { at } from "../scripts/paths.mjs";
import { built } from "./built.mjs";

const { DIALECTS, makePacket, packetFiles } = await built("core/virtual-engine/index");

/** Short drives keep the repository small; a real one should be three times as long. */
const MINUTES = 6;

const EXAMPLES = [
  {
    name: "idle-complaint",
    seed: 31,
    dialect: "semicolons",
    options: {
      family: "i6-30-na",
      faults: [{ id: "air.throttle-overflow", severity: 0.7 }],
      edits: { harmless: 2, incoherent: 2 },
    },
  },
  {
    name: "power-complaint",
    seed: 33,
    dialect: "imperial",
    options: { family: "i5-25-na", sweeps: 3, edits: { harmless: 1, incoherent: 1 } },
  },
];

for (const { name, seed, dialect, options } of EXAMPLES) {
  const folder = at("examples", "packets", name);
  fs.rmSync(folder, { recursive: true, force: true });
  const made = makePacket(seed, { minutes: MINUTES, ...options });
  const style = { dialect: DIALECTS.find((/** @type {{ id: string }} */ each) => each.id === dialect), roles: "all" };
  for (const { path: file, text } of packetFiles(made, style)) {
    fs.mkdirSync(path.dirname(path.join(folder, file)), { recursive: true });
    fs.writeFileSync(path.join(folder, file), text);
  }
  const faults = made.truth.faults.map((/** @type {{ id: string }} */ fault) => fault.id).join(", ") || "healthy";
  process.stdout.write(`wrote examples/packets/${name}: ${made.truth.vehicle.label}, ${faults}\n`);
}
