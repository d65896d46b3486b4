import { crc32, deflateRawSync } from "node:zlib";
import type { OutFile } from "./loaded.ts";

const LOCAL = 0x04034b50;
const CENTRAL = 0x02014b50;
const END = 0x06054b50;
/** Version 2.0 of the format is enough for deflate; bit 11 says that names are UTF-8. */
const VERSION = 20;
const UTF8_NAMES = 0x0800;
const DEFLATE = 8;
const NO_TIME = 0;
const NO_EXTRA = 0;
const NO_COMMENT = 0;
const FIRST_DISK = 0;
/** 1 January 1980, the format's zero: the same files give the same bytes on any day. */
const NO_DATE = 0x21;

/**
 * Files as one archive that every desktop opens. Same files, same bytes. No entry above 4 GB.
 * @source zip-appnote
 */
export function zipOf(files: readonly OutFile[]): Uint8Array {
  const parts: Uint8Array[] = [];
  const directory: Uint8Array[] = [];
  let offset = 0;
  for (const file of files) {
    const content = typeof file.content === "string" ? Buffer.from(file.content) : file.content;
    const name = Buffer.from(file.path);
    const packed = deflateRawSync(content);
    const head = Buffer.concat([
      shorts(VERSION, UTF8_NAMES, DEFLATE, NO_TIME, NO_DATE),
      longs(crc32(content), packed.length, content.length),
      shorts(name.length, NO_EXTRA),
    ]);
    parts.push(longs(LOCAL), head, name, packed);
    directory.push(longs(CENTRAL), shorts(VERSION), head, shorts(NO_COMMENT, FIRST_DISK, 0), longs(0, offset), name);
    offset += 4 + head.length + name.length + packed.length;
  }
  const listed = Buffer.concat(directory);
  return Buffer.concat([
    ...parts,
    listed,
    longs(END),
    shorts(FIRST_DISK, FIRST_DISK, files.length, files.length),
    longs(listed.length, offset),
    shorts(NO_COMMENT),
  ]);
}

function shorts(...values: readonly number[]): Buffer {
  const bytes = Buffer.alloc(2 * values.length);
  for (const [i, value] of values.entries()) bytes.writeUInt16LE(value, 2 * i);
  return bytes;
}

function longs(...values: readonly number[]): Buffer {
  const bytes = Buffer.alloc(4 * values.length);
  for (const [i, value] of values.entries()) bytes.writeUInt32LE(value, 4 * i);
  return bytes;
}
