// Takes the book's lock again and again, counts up under it, now and then dies while it holds it, and tells of anyone met inside.
import { appendFileSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { withLock } from "../../dist/book/lock.js";

const [folder, seedText, roundsText] = process.argv.slice(2);
let seed = Number(seedText);
const random = () => {
  seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
  return seed / 2 ** 32;
};
const inside = join(folder, "inside");
const counter = join(folder, "counter");

/** Someone whose mark lies here is inside with us, unless that process is gone: then it died here. */
function enter() {
  try {
    writeFileSync(inside, String(process.pid), { flag: "wx" });
  } catch {
    const other = Number(readFileSync(inside, "utf8"));
    try {
      process.kill(other, 0);
      appendFileSync(join(folder, "met"), `${process.pid} met ${other}\n`);
    } catch {
      // It died inside, as it should now and then.
    }
    writeFileSync(inside, String(process.pid));
  }
}

process.stdout.write("ready\n");
await new Promise((resolve) => process.stdin.once("data", resolve));
for (let i = 0; i < Number(roundsText); i++) {
  withLock(folder, new Date().toISOString(), () => {
    enter();
    if (random() < 0.03) process.kill(process.pid, "SIGKILL");
    const count = Number(readFileSync(counter, "utf8"));
    writeFileSync(counter, String(count + 1));
    rmSync(inside, { force: true });
  });
  process.stdout.write("+\n");
}
process.exit(0);
