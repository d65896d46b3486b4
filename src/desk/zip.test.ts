import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { zipOf } from "./zip.ts";

// Python's zipfile is an independent reader of the format: it checks both directories and every sum.
const READ =
  "import sys,json,zipfile; z=zipfile.ZipFile(sys.argv[1]); assert z.testzip() is None; print(json.dumps({n:z.read(n).decode() for n in z.namelist()}))";

test("an archive is read by an independent reader, names and contents whole", () => {
  const folder = mkdtempSync(join(tmpdir(), "fettle-zip-"));
  try {
    const files = [
      { path: "ve.csv", content: "1,2\n3,4\n" },
      { path: "Kürbis/leer.csv", content: new Uint8Array(0) },
      { path: "long.csv", content: "0.25,".repeat(50_000) },
    ];
    const path = join(folder, "a.zip");
    writeFileSync(path, zipOf(files));
    const read = JSON.parse(execFileSync("python3", ["-c", READ, path], { encoding: "utf8" })) as Record<string, string>;
    expect(read).toEqual({ "ve.csv": files[0]!.content, "Kürbis/leer.csv": "", "long.csv": files[2]!.content });
    expect(readFileSync(path).length).toBeLessThan(2000);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});

test("the same files give the same bytes", () => {
  const files = [{ path: "a", content: "b" }];
  expect(zipOf(files)).toEqual(zipOf(files));
});
