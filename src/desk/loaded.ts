import type { Packet } from "../core/job/index.ts";
import type { PacketFile, TableSheet } from "../formats/index.ts";

/** A packet as read: with the sheets its tables came from, and the bytes as they were found. */
export interface LoadedPacket {
  readonly packet: Packet;
  readonly asReceivedSheets: readonly TableSheet[];
  readonly referenceSheets: readonly TableSheet[];
  readonly originals: readonly PacketFile[];
}

/** A file to be written: path within a folder, forward slashes. */
export interface OutFile {
  readonly path: string;
  readonly content: string | Uint8Array;
}
