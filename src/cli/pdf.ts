import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { UnusableInput } from "../base/index.ts";

interface Browser {
  findChromium(): string | undefined;
  chromiumArgs(): string[];
}

export const PAPERS = ["a4", "letter"] as const;
export type Paper = (typeof PAPERS)[number];

const PATIENCE_MS = 90_000;

/** A page that needs nothing but itself, printed to PDF by a browser of this machine. @throws UnusableInput when there is none or it fails */
export async function pdfOf(html: string, paper: Paper): Promise<Uint8Array> {
  // The finder also serves the tests' set-up, which runs before anything is built.
  const browser = (await import("../../scripts/chromium.mjs" as string)) as Browser;
  const program = found(browser);
  const folder = mkdtempSync(join(tmpdir(), "fettle-pdf-"));
  try {
    const [page, pdf] = [join(folder, "report.html"), join(folder, "report.pdf")];
    writeFileSync(page, onPaper(html, paper));
    const args = [
      ...browser.chromiumArgs(),
      "--headless",
      `--user-data-dir=${join(folder, "profile")}`,
      "--no-pdf-header-footer",
      "--export-tagged-pdf",
      "--generate-pdf-document-outline",
      `--print-to-pdf=${pdf}`,
      pathToFileURL(page).href,
    ];
    await run(program, args);
    return readFileSync(pdf);
  } catch (error) {
    if (error instanceof UnusableInput) throw error;
    throw new UnusableInput({
      at: { file: program },
      what: `The browser did not print the report (${error instanceof Error ? error.message : String(error)})`,
      do: "Leave --pdf out, open the report in a browser and print it from there",
    });
  } finally {
    rmSync(folder, { recursive: true, force: true, maxRetries: 3 });
  }
}

/** The page told what it is printed on; without this the browser takes the paper that it was shipped with. */
function onPaper(html: string, paper: Paper): string {
  return html.replace("</head>", `<style>@page{size:${paper === "a4" ? "A4" : "letter"} portrait}</style></head>`);
}

function found(browser: Browser): string {
  try {
    const program = browser.findChromium();
    if (program !== undefined) return program;
  } catch (error) {
    throw new UnusableInput({ at: { file: "--pdf" }, what: error instanceof Error ? error.message : String(error), do: "Correct it, or unset it" });
  }
  throw new UnusableInput({
    at: { file: "--pdf" },
    what: "There is no Chromium, Chrome or Edge on this machine to print with",
    do: "Install one, set CHROMIUM_PATH to its program, or leave --pdf out and print the report from any browser",
  });
}

function run(program: string, args: readonly string[]): Promise<void> {
  return new Promise((resolve, reject) => {
    const child = spawn(program, args, { stdio: "ignore", timeout: PATIENCE_MS });
    child.on("error", reject);
    child.on("exit", (code) => (code === 0 ? resolve() : reject(new Error(`status ${code ?? "none, it took too long"}`))));
  });
}
