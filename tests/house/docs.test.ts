import { spawnSync } from "node:child_process";
import fs from "node:fs";
import path from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import { MARK } from "../../tools/markdown.mjs";

const ROOT = path.resolve(import.meta.dirname, "../..");
const read = (file: string): string => fs.readFileSync(path.join(ROOT, file), "utf8");

/** Files that git knows or would take, so that what is built or ignored does not count. */
function filesOfRepository(): string[] {
  const { stdout, status } = spawnSync("git", ["ls-files", "--cached", "--others", "--exclude-standard"], { cwd: ROOT, encoding: "utf8" });
  if (status === 0) return stdout.split("\n").filter((file) => file !== "" && fs.existsSync(path.join(ROOT, file)));
  // A copy without its history: everything that is not made by a tool.
  const names = fs.readdirSync(ROOT, { recursive: true, encoding: "utf8" }).map((name) => name.replaceAll(path.sep, "/"));
  return names.filter((name) => !/^(node_modules|dist|out|test-artefacts)(\/|$)/.test(name) && fs.statSync(path.join(ROOT, name)).isFile());
}

const files = filesOfRepository();
const pages = files.filter((file) => file.endsWith(".md") && !file.startsWith("tests/data/"));

/** Links of a page outside of code, with the text of the page they stand in. */
function linksOf(page: string): string[] {
  const prose = read(page)
    .replace(/^```[\s\S]*?^```/gm, "")
    .replace(/`[^`\n]*`/g, "");
  return [...prose.matchAll(/\]\(([^)\s]+)\)/g)].map((match) => match[1]!);
}

/** Names by which a heading or an anchor of a page can be reached. */
function anchorsOf(page: string): Set<string> {
  const text = read(page);
  const headings = [...text.matchAll(/^#{1,6} (.+)$/gm)].map((match) =>
    match[1]!
      .toLowerCase()
      .replace(/[^\p{L}\p{N} _-]/gu, "")
      .replaceAll(" ", "-"),
  );
  return new Set([...headings, ...[...text.matchAll(/<a id="([^"]+)">/g)].map((match) => match[1]!)]);
}

describe("pages", () => {
  test("are there", () => {
    expect(pages).toEqual(expect.arrayContaining(["README.md", "CONTRIBUTING.md", "CHANGELOG.md", "docs/packet.md", "docs/checks/index.md"]));
  });

  test.each(pages)("%s: links lead somewhere", (page) => {
    const broken = linksOf(page).filter((link) => {
      if (/^[a-z]+:/.test(link)) return false;
      const [file = "", anchor] = link.split("#");
      const target = file === "" ? page : path.posix.join(path.posix.dirname(page), file);
      if (!fs.existsSync(path.join(ROOT, target))) return true;
      return anchor !== undefined && !anchorsOf(target).has(anchor);
    });
    expect(broken).toEqual([]);
  });

  test("are reachable from the README", () => {
    const seen = new Set<string>();
    const visit = (page: string): void => {
      if (seen.has(page)) return;
      seen.add(page);
      for (const link of linksOf(page)) {
        const target = path.posix.join(path.posix.dirname(page), link.split("#")[0]!);
        if (/^[a-z]+:/.test(link) || !fs.existsSync(path.join(ROOT, target))) continue;
        if (fs.statSync(path.join(ROOT, target)).isDirectory()) pages.filter((each) => path.posix.dirname(each) === target).forEach(visit);
        else if (target.endsWith(".md")) visit(target);
      }
    };
    visit("README.md");
    expect(pages.filter((page) => page.startsWith("docs/") && !seen.has(page))).toEqual([]);
  });
});

describe("what is generated", () => {
  let checked: { status: number | null; stderr: string };
  beforeAll(() => {
    checked = spawnSync(process.execPath, ["tools/generate.mjs", "--check"], { cwd: ROOT, encoding: "utf8" });
  });

  test("is fresh", () => {
    expect(checked.stderr).toBe("");
    expect(checked.status).toBe(0);
  });

  test("says so in its first line", () => {
    expect(pages.filter((page) => /^docs\/(checks|faults)\//.test(page) && !read(page).startsWith(MARK))).toEqual([]);
  });
});

test("every command is documented, with its help", () => {
  const commandPage = read("docs/commands.md");
  const commands = files.filter((file) => /^src\/cli\/commands\/(?!index)[^/]+\.ts$/.test(file) && !file.endsWith(".test.ts"));
  const names = commands.flatMap((file) => [...read(file).matchAll(/\.command\("([a-z][\w-]*)/g)].map((match) => match[1]!));
  expect(names).toContain("run");
  for (const name of names) expect(commandPage, name).toMatch(new RegExp(`^## fettle (?:[a-z-]+ )?${name}$`, "m"));
});

test("every room stands in the table of the architecture", () => {
  const page = read("docs/architecture.md");
  const rooms = Object.keys((JSON.parse(read("tools/rooms.json")) as { rooms: Record<string, unknown> }).rooms);
  for (const room of rooms) expect(page, room).toMatch(new RegExp(`^\\|.*\`${room.replace("core/", "")}\`.*\\||besides \`${room}\``, "m"));
});

test("every script of package.json is explained in CONTRIBUTING", () => {
  const scripts = Object.keys(JSON.parse(read("package.json")).scripts as Record<string, string>);
  const page = read("CONTRIBUTING.md");
  for (const name of scripts) expect(page, name).toMatch(new RegExp(`npm (run )?${name}\\b`));
});

test("every dependency has its reason, and no other", () => {
  const manifest = JSON.parse(read("package.json")) as { dependencies: Record<string, string>; devDependencies: Record<string, string> };
  const names = Object.keys({ ...manifest.dependencies, ...manifest.devDependencies }).sort();
  const cells = [...read("docs/dependencies.md").matchAll(/^\| (`[^|]+) \|/gm)].flatMap((match) =>
    [...match[1]!.matchAll(/`([^`]+)`/g)].map((name) => name[1]!),
  );
  expect(cells.sort()).toEqual(names);
});

test("decisions are numbered without a gap", () => {
  const numbers = files.filter((file) => file.startsWith("docs/decisions/")).map((file) => Number(path.posix.basename(file).slice(0, 4)));
  expect(numbers.sort((a, b) => a - b)).toEqual(numbers.map((_, i) => i + 1));
});

describe("no file holds", () => {
  const texts = files
    .filter((file) => /\.(ts|tsx|mjs|js|json|md|css|html|yml)$|^bin\/|^\.ci\//.test(file) && file !== "package-lock.json" && !file.startsWith("tests/data/"))
    .map((file) => ({ file, text: read(file) }));

  // Written apart, so that this file does not hold them itself.
  const unwanted: [string, RegExp][] = [
    ["a promise for later", new RegExp(`\\b(${["TO", "DO"].join("")}|${["FIX", "ME"].join("")}|${["X", "XX"].join("")})\\b`)],
    ["a path of somebody's machine", new RegExp(`(^|[\\s"'\`(])/(${["wo", "rk"].join("")}|home/[a-z]+|Users/[A-Za-z]+)/`, "m")],
    ["a skipped test", /\b(it|test|describe)\.(skip|todo|only)\(|\bx(it|describe)\(/],
    ["a conflict mark", /^(<{7}|>{7}) /m],
  ];

  test.each(unwanted)("%s", (_, pattern) => {
    expect(texts.length).toBeGreaterThan(100);
    expect(texts.filter(({ text }) => pattern.test(text)).map(({ file }) => file)).toEqual([]);
  });
});
