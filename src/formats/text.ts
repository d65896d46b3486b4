import { UnusableInput } from "../base/index.ts";

/** A file as text in one byte per ASCII sign: bytes without a byte-order mark, and how to decode them. */
export interface TextFile {
  readonly bytes: Uint8Array;
  readonly encoding: "utf-8" | "windows-1252";
  /** What had to be changed to get here, in words. */
  readonly remarks: readonly string[];
}

const SAMPLE_BYTES = 1 << 18;

const SIGNATURES: readonly (readonly [string, readonly number[]])[] = [
  ["a PNG image", [0x89, 0x50, 0x4e, 0x47]],
  ["a JPEG image", [0xff, 0xd8, 0xff]],
  ["a PDF document", [0x25, 0x50, 0x44, 0x46]],
  ["a zip archive or a spreadsheet workbook", [0x50, 0x4b, 0x03, 0x04]],
  ["a gzip archive", [0x1f, 0x8b]],
  ["an old spreadsheet workbook", [0xd0, 0xcf, 0x11, 0xe0]],
  ["a program", [0x7f, 0x45, 0x4c, 0x46]],
  ["a database file", [0x53, 0x51, 0x4c, 0x69, 0x74, 0x65]],
];

/**
 * Opens bytes as text: byte-order mark off, UTF-16 made UTF-8, anything not valid UTF-8 taken for Windows-1252.
 *
 * @throws UnusableInput for an empty file and for one that is no text.
 */
export function openText(file: string, bytes: Uint8Array): TextFile {
  if (bytes.length === 0) throw unusable(file, "the file is empty", "Export it again, or take it out of the packet");
  const magic = SIGNATURES.find(([, start]) => start.every((byte, i) => bytes[i] === byte));
  if (magic !== undefined) throw unusable(file, `expected a text file, found ${magic[0]}`, "Export the data as CSV text, or take the file out of the packet");
  const wide = wideEncoding(bytes);
  if (wide !== undefined) return { bytes: toUtf8(bytes, wide), encoding: "utf-8", remarks: [`text in ${wide.toUpperCase()}: read as such`] };
  const start = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0;
  const body = start === 0 ? bytes : bytes.subarray(start);
  const at = firstControl(body);
  if (at >= 0)
    throw unusable(file, `expected a text file, found binary data at byte ${at + start}`, "Export the data as CSV text, or take the file out of the packet");
  if (isBlank(body)) throw unusable(file, "the file holds nothing but blanks", "Export it again, or take it out of the packet");
  return isUtf8(body) ? { bytes: body, encoding: "utf-8", remarks: [] } : { bytes: body, encoding: "windows-1252", remarks: [] };
}

export function decode(text: TextFile, from = 0, to = text.bytes.length): string {
  return new TextDecoder(text.encoding, { ignoreBOM: true }).decode(text.bytes.subarray(from, to));
}

export function unusable(file: string, what: string, todo: string, place: { line?: number; column?: number } = {}): UnusableInput {
  return new UnusableInput({ at: { file, ...place }, what, do: todo });
}

function wideEncoding(bytes: Uint8Array): "utf-16le" | "utf-16be" | undefined {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return "utf-16le";
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return "utf-16be";
  // Without a mark: nearly every second byte of mostly Latin text is zero.
  const n = Math.min(bytes.length & ~1, 4096);
  let even = 0;
  let odd = 0;
  for (let i = 0; i < n; i += 2) {
    if (bytes[i] === 0) even++;
    if (bytes[i + 1] === 0) odd++;
  }
  if (n >= 16 && odd > 0.45 * n && even === 0) return "utf-16le";
  if (n >= 16 && even > 0.45 * n && odd === 0) return "utf-16be";
  return undefined;
}

function toUtf8(bytes: Uint8Array, encoding: "utf-16le" | "utf-16be"): Uint8Array {
  const decoder = new TextDecoder(encoding);
  const encoder = new TextEncoder();
  const parts: Uint8Array[] = [];
  let total = 0;
  for (let at = 0; at < bytes.length; at += SAMPLE_BYTES * 4) {
    const part = encoder.encode(decoder.decode(bytes.subarray(at, at + SAMPLE_BYTES * 4), { stream: true }));
    parts.push(part);
    total += part.length;
  }
  const out = new Uint8Array(total);
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}

/** Place of the first byte that no text holds, -1 if none; a few at the very end are a torn block of the disk, not a binary file. */
function firstControl(bytes: Uint8Array): number {
  const n = Math.min(bytes.length, SAMPLE_BYTES);
  let first = -1;
  let count = 0;
  for (let i = 0; i < n; i++) {
    const byte = bytes[i]!;
    if (byte >= 32 || byte === 9 || byte === 10 || byte === 13 || byte === 12 || byte === 26 || byte === 27) continue;
    if (first < 0) first = i;
    count++;
  }
  return count > Math.max(2, n / 500) || (first >= 0 && first < 64) ? first : -1;
}

function isBlank(bytes: Uint8Array): boolean {
  for (const byte of bytes) if (byte > 32) return false;
  return true;
}

function isUtf8(bytes: Uint8Array): boolean {
  try {
    new TextDecoder("utf-8", { fatal: true }).decode(bytes.subarray(0, SAMPLE_BYTES), { stream: true });
    return true;
  } catch {
    return false;
  }
}
