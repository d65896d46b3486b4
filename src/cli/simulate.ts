import { mkdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { seededRandom } from "../base/index.ts";
import { DIALECTS, drawDialect, FAULT_IDS, type FaultId, makePacket, packetFiles } from "../core/virtual-engine/index.ts";

/** What `fettle simulate` was asked for. */
export interface SimulateFolderOptions {
  readonly seed: number;
  readonly out: string;
  /** Faults by id; empty: healthy. */
  readonly faults?: readonly string[];
  /** One severity for all faults, 0.2–1; drawn when left out. */
  readonly severity?: number;
  readonly family?: string;
  readonly sweeps?: number;
  /** How the files are written; drawn from the seed when left out. */
  readonly dialect?: string;
}

export interface SimulatedFolder {
  readonly out: string;
  readonly files: readonly string[];
  /** One line for the person at the terminal. */
  readonly summary: string;
}

/** Writes a made-up packet with known truth into a folder. @throws RangeError for an unknown fault, family or dialect, naming those known */
export function simulateToFolder(options: SimulateFolderOptions): SimulatedFolder {
  const faults = (options.faults ?? []).map((id) => ({ id: knownFault(id), severity: options.severity }));
  const made = makePacket(options.seed, { faults, family: options.family, sweeps: options.sweeps });
  const random = seededRandom(options.seed + 7);
  const dialect = options.dialect === undefined ? drawDialect(random) : DIALECTS.find((d) => d.id === options.dialect);
  if (dialect === undefined) throw new RangeError(`unknown dialect "${options.dialect}"; known: ${DIALECTS.map((d) => d.id).join(", ")}`);
  const files = packetFiles(made, { dialect, roles: random.pick(["all", "some", "none"] as const), titles: random.whole(0, 2) });
  for (const file of files) {
    const path = join(options.out, file.path);
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, file.text);
  }
  const what = made.truth.faults.length === 0 ? "healthy" : made.truth.faults.map((f) => `${f.id} ${f.severity.toFixed(2)}`).join(", ");
  return { out: options.out, files: files.map((f) => f.path), summary: `${made.truth.vehicle.label}, ${what}: ${files.length} files in ${options.out}` };
}

function knownFault(id: string): FaultId | "draw" {
  if (id === "draw") return id;
  const found = FAULT_IDS.find((known) => known === id);
  if (found === undefined) throw new RangeError(`unknown fault "${id}"; known: ${FAULT_IDS.join(", ")}`);
  return found;
}
