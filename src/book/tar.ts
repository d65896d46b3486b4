import { UnusableInput } from "../base/index.ts";

/** A file within an archive, as POSIX ustar (IEEE Std 1003.1-1988) lays it down. */
export interface TarMember {
  readonly name: string;
  readonly bytes: number;
}

const BLOCK = 512;
const NAME_LENGTH = 100;
const MOST_BYTES = 8 ** 11 - 1;

/**
 * The header of a plain file: owner, group and time are nought, so that the same files always make the same archive.
 * @throws RangeError when the name or the size does not fit the format
 * @source ieee-posix-ustar
 */
export function tarHeader({ name, bytes }: TarMember): Uint8Array {
  const encoded = new TextEncoder().encode(name);
  if (encoded.length > NAME_LENGTH || bytes > MOST_BYTES) throw new RangeError(`${name} (${bytes} bytes) does not fit into an archive`);
  const header = new Uint8Array(BLOCK);
  const put = (at: number, text: string): void => header.set(new TextEncoder().encode(text), at);
  header.set(encoded, 0);
  put(100, "0000644\0");
  put(108, "0000000\0");
  put(116, "0000000\0");
  put(124, `${bytes.toString(8).padStart(11, "0")}\0`);
  put(136, "00000000000\0");
  put(148, "        ");
  put(156, "0");
  put(257, "ustar\x0000");
  put(329, "0000000\0");
  put(337, "0000000\0");
  put(148, `${sumOf(header).toString(8).padStart(6, "0")}\0 `);
  return header;
}

/** Blanks that fill a file up to whole blocks. */
export function tarPadding(bytes: number): Uint8Array {
  return new Uint8Array((BLOCK - (bytes % BLOCK)) % BLOCK);
}

/** Two empty blocks end an archive. */
export function tarEnd(): Uint8Array {
  return new Uint8Array(2 * BLOCK);
}

/** What a reader meets, in order: a file's header, its bytes piece by piece, and that it is whole. */
export type TarStep = { readonly file: TarMember } | { readonly piece: Uint8Array } | { readonly isWhole: true };

/**
 * Reads an archive piece by piece. Only plain files are taken: folders, links and devices have no place in a job.
 * @throws UnusableInput when it is cut off, damaged, or holds anything else
 */
export async function* readTar(archive: string, chunks: AsyncIterable<Uint8Array>): AsyncGenerator<TarStep> {
  const source = blocksOf(chunks);
  for (;;) {
    const header = await source.take(BLOCK);
    if (header === undefined) throw damaged(archive, "It is cut off before its end");
    if (header.every((byte) => byte === 0)) break;
    const member = memberOf(archive, header);
    yield { file: member };
    for (let left = member.bytes; left > 0; ) {
      const piece = await source.some(left);
      if (piece === undefined) throw damaged(archive, `It is cut off within ${member.name}`);
      left -= piece.length;
      yield { piece };
    }
    const padding = tarPadding(member.bytes).length;
    if (padding > 0 && (await source.take(padding)) === undefined) throw damaged(archive, `It is cut off within ${member.name}`);
    yield { isWhole: true };
  }
  if ((await source.take(BLOCK)) === undefined) throw damaged(archive, "It is cut off before its end");
  // Read to the end of the stream: only there the sum of the packing is compared.
  while ((await source.some(1 << 20)) !== undefined);
}

function memberOf(archive: string, header: Uint8Array): TarMember {
  const field = (at: number, length: number): string => {
    const raw = header.subarray(at, at + length);
    const end = raw.indexOf(0);
    return new TextDecoder().decode(end < 0 ? raw : raw.subarray(0, end)).trim();
  };
  const blanked = header.slice();
  blanked.fill(32, 148, 156);
  if (field(257, 5) !== "ustar" || Number.parseInt(field(148, 8), 8) !== sumOf(blanked)) throw damaged(archive, "One of its headers is damaged");
  const name = field(0, NAME_LENGTH);
  const kind = String.fromCharCode(header[156]!);
  if ((kind !== "0" && kind !== "\0") || field(157, 100) !== "" || field(345, 155) !== "") throw damaged(archive, `"${name}" in it is no plain file`);
  const size = field(124, 12);
  if (!/^[0-7]{1,11}$/.test(size)) throw damaged(archive, `The size of "${name}" in it is no number`);
  return { name, bytes: Number.parseInt(size, 8) };
}

function sumOf(header: Uint8Array): number {
  return header.reduce((sum, byte) => sum + byte, 0);
}

function damaged(archive: string, what: string): UnusableInput {
  return new UnusableInput({
    at: { file: archive },
    what: `This is not a whole job file. ${what}`,
    do: "Export the job again, or copy the file again; nothing was kept",
  });
}

/** Cuts a stream of chunks to measure. */
function blocksOf(chunks: AsyncIterable<Uint8Array>): {
  /** Exactly so many bytes, undefined when there are not so many left. */
  take(bytes: number): Promise<Uint8Array | undefined>;
  /** At most so many bytes, undefined at the end. */
  some(most: number): Promise<Uint8Array | undefined>;
} {
  const iterator = chunks[Symbol.asyncIterator]();
  let rest: Uint8Array = new Uint8Array(0);
  const some = async (most: number): Promise<Uint8Array | undefined> => {
    while (rest.length === 0) {
      const next = await iterator.next();
      if (next.done === true) return undefined;
      rest = next.value;
    }
    const piece = rest.subarray(0, most);
    rest = rest.subarray(piece.length);
    return piece;
  };
  const take = async (bytes: number): Promise<Uint8Array | undefined> => {
    const whole = new Uint8Array(bytes);
    for (let at = 0; at < bytes; ) {
      const piece = await some(bytes - at);
      if (piece === undefined) return undefined;
      whole.set(piece, at);
      at += piece.length;
    }
    return whole;
  };
  return { take, some };
}
