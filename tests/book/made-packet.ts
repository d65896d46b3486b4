import { DIALECTS, type MadePacket, makePacket, packetFiles } from "../../src/core/virtual-engine/index.ts";
import type { PacketFile } from "../../src/formats/index.ts";

/** A small packet of a made-up vehicle with known truth, and its files without the truth. */
export function madePacket(seed: number, minutes = 4): { readonly made: MadePacket; readonly files: readonly PacketFile[] } {
  const made = makePacket(seed, { minutes });
  const texts = packetFiles(made, { dialect: DIALECTS[0]!, roles: "all" });
  const encode = (text: string): Uint8Array => new TextEncoder().encode(text);
  return { made, files: texts.filter((file) => file.path !== "truth.json").map(({ path, text }) => ({ path, bytes: encode(text) })) };
}
