import { appendFileSync, mkdtempSync, renameSync, rmSync, utimesSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import type { GuideView, HeardView, VisitView } from "../../src/api/index.ts";
import { listenToDrive } from "../../src/server/drive-listener.ts";
import { watchedFolder } from "../../src/server/follow.ts";

const HEAD = "Time [s],Engine speed [rpm],MAP [kPa]\n";
const RATE_HZ = 10;
const visit: VisitView = { fromRpm: 1800, toRpm: 2200, fromKpa: 40, toKpa: 60, load: "light throttle", seconds: 20, gainShare: 0.3, words: "" };
const guide = { visits: [visit], rpm: [1000, 2000, 3000], kpa: [30, 50, 100] } as unknown as GuideView;

let folder: string;
let clockMs: number;
beforeEach(() => {
  folder = watchedFolder(mkdtempSync(join(tmpdir(), "fettle-drive-")));
  clockMs = 1_000_000;
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** Seconds of a drive that holds 2000 rpm and 50 kPa, as a logger writes them. */
function seconds(from: number, to: number): string {
  let text = "";
  for (let i = from * RATE_HZ; i < to * RATE_HZ; i++) text += `${(i / RATE_HZ).toFixed(1)},${2000 + (i % 7)},${50 + (i % 3)}\n`;
  return text;
}

function listening(file?: string) {
  const listener = listenToDrive({ folder: () => folder, file, reading: {}, guide });
  const look = (afterS = 0.5): HeardView => {
    clockMs += 1000 * afterS;
    return listener.look(clockMs);
  };
  return look;
}

const path = (name: string): string => join(folder, name);

describe("a logger that does not write as one would wish", () => {
  test("an old recording in the folder is another drive's; what grows from now on is followed", () => {
    writeFileSync(path("yesterday.csv"), HEAD + seconds(0, 100));
    const look = listening();
    expect(look()).toMatchObject({ file: "", visitS: [0], says: expect.stringContaining("Waiting for a recording") });
    writeFileSync(path("today.csv"), HEAD + seconds(0, 5));
    expect(look().file).toBe("today.csv");
    expect(look().visitS[0]).toBeCloseTo(5, 0);
    appendFileSync(path("yesterday.csv"), "");
    expect(look().file).toBe("today.csv");
  });

  test("bursts: silence is told in seconds, and the next burst counts in full", () => {
    writeFileSync(path("drive.csv"), HEAD);
    const look = listening("drive.csv");
    look();
    appendFileSync(path("drive.csv"), seconds(0, 6));
    expect(look()).toMatchObject({ stillS: 0, rows: 60 });
    for (let i = 0; i < 10; i++) look(1);
    expect(look(0)).toMatchObject({ stillS: 10, rows: 60 });
    appendFileSync(path("drive.csv"), seconds(6, 16));
    const heard = look();
    expect(heard).toMatchObject({ stillS: 0, rows: 160 });
    expect(heard.visitS[0]).toBeCloseTo(16, 0);
  });

  test("a line half written waits for its rest, and is not misread", () => {
    const text = HEAD + seconds(0, 8);
    const cut = text.length - 6;
    writeFileSync(path("drive.csv"), text.slice(0, cut));
    const look = listening("drive.csv");
    expect(look()).toMatchObject({ rows: 79, rpm: expect.closeTo(2003, -1) });
    appendFileSync(path("drive.csv"), text.slice(cut));
    expect(look().rows).toBe(80);
  });

  test("rotated under the same name, the seconds driven before stay", () => {
    writeFileSync(path("drive.csv"), HEAD + seconds(0, 12));
    const look = listening("drive.csv");
    expect(look().visitS[0]).toBeCloseTo(12, 0);
    renameSync(path("drive.csv"), path("drive.1.csv"));
    // Between the two there is none of that name.
    expect(look()).toMatchObject({ says: expect.stringContaining("no recording of that name"), visitS: [expect.closeTo(12, 0)] });
    writeFileSync(path("drive.csv"), HEAD);
    expect(look().visitS[0]).toBeCloseTo(12, 0);
    appendFileSync(path("drive.csv"), seconds(12, 21));
    const heard = look();
    expect(heard.rows).toBe(90);
    expect(heard.visitS[0]).toBeCloseTo(21, 0);
    expect(heard.says).toBeUndefined();
  });

  test("rotated under new names, the newest that grows is followed and all count", () => {
    const look = listening();
    look();
    writeFileSync(path("part-1.csv"), HEAD + seconds(0, 10));
    look();
    expect(look().visitS[0]).toBeCloseTo(10, 0);
    writeFileSync(path("part-2.csv"), HEAD + seconds(10, 18));
    utimesSync(path("part-2.csv"), new Date(Date.now() + 5000), new Date(Date.now() + 5000));
    for (let i = 0; i < 7; i++) look(1);
    const heard = look();
    expect(heard.file).toBe("part-2.csv");
    expect(heard.visitS[0]).toBeCloseTo(18, 0);
  });

  test("a file that is written whole each time counts once", () => {
    writeFileSync(path("drive.csv"), HEAD + seconds(0, 10));
    const look = listening("drive.csv");
    look();
    for (const to of [12, 15, 19]) {
      writeFileSync(path("drive.tmp"), HEAD + seconds(0, to));
      renameSync(path("drive.tmp"), path("drive.csv"));
      expect(look().visitS[0]).toBeCloseTo(to, 0);
    }
    // Emptied and filled again in place.
    writeFileSync(path("drive.csv"), HEAD + seconds(0, 4));
    expect(look().visitS[0]).toBeCloseTo(4, 0);
    appendFileSync(path("drive.csv"), seconds(4, 20));
    expect(look().visitS[0]).toBeCloseTo(20, 0);
  });
});
