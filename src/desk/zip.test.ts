import { crc32, inflateRawSync } from "node:zlib";
import { expect, test } from "vitest";
import { zipOf } from "./zip.ts";

/** A reader after the specification, from the end of the archive as the specification wants it; names to contents. @source zip-appnote */
function unzipped(bytes: Uint8Array): Record<string, string> {
  const view = Buffer.from(bytes);
  const end = view.lastIndexOf(Buffer.from("PK\x05\x06"));
  const files: Record<string, string> = {};
  let at = view.readUInt32LE(end + 16);
  expect(view.readUInt32LE(end + 12)).toBe(end - at);
  for (let left = view.readUInt16LE(end + 10); left > 0; left--) {
    expect(view.toString("latin1", at, at + 4)).toBe("PK\x01\x02");
    const nameLength = view.readUInt16LE(at + 28);
    const name = view.toString("utf8", at + 46, at + 46 + nameLength);
    const local = view.readUInt32LE(at + 42);
    expect(view.toString("latin1", local, local + 4)).toBe("PK\x03\x04");
    expect(view.subarray(local + 4, local + 30)).toEqual(view.subarray(at + 6, at + 32));
    const from = local + 30 + view.readUInt16LE(local + 26) + view.readUInt16LE(local + 28);
    const content = inflateRawSync(view.subarray(from, from + view.readUInt32LE(at + 20)));
    expect(content.length).toBe(view.readUInt32LE(at + 24));
    expect(crc32(content)).toBe(view.readUInt32LE(at + 16));
    files[name] = content.toString();
    at += 46 + nameLength + view.readUInt16LE(at + 30) + view.readUInt16LE(at + 32);
  }
  expect(at).toBe(end);
  return files;
}

test("an archive holds names and contents whole, packed", () => {
  const files = [
    { path: "ve.csv", content: "1,2\n3,4\n" },
    { path: "Kürbis/leer.csv", content: new Uint8Array(0) },
    { path: "long.csv", content: "0.25,".repeat(50_000) },
  ];
  const archive = zipOf(files);
  expect(unzipped(archive)).toEqual({ "ve.csv": files[0]!.content, "Kürbis/leer.csv": "", "long.csv": files[2]!.content });
  expect(archive.length).toBeLessThan(2000);
});

test("the same files give the same bytes", () => {
  const files = [{ path: "a", content: "b" }];
  expect(zipOf(files)).toEqual(zipOf(files));
});
