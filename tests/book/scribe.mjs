// Writes into a book without pause until it is killed; prints a line for each entry once it is acknowledged.
import { randomBytes } from "node:crypto";
// The three files that write, not the whole room: five hundred processes start with this line.
import { openBook } from "../../dist/book/book.js";
import { addFiles } from "../../dist/book/content.js";
import { recordBookEvent, recordJobEvent } from "../../dist/book/jobs.js";

const [folder, slug, seedText] = process.argv.slice(2);
let seed = Number(seedText);
const random = () => {
  seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
  return seed / 2 ** 32;
};
const book = openBook(folder, { by: "scribe", now: () => new Date().toISOString() });
const acknowledge = (record) => process.stdout.write(`${JSON.stringify(record)}\n`);
acknowledge({ ready: true });
for (let i = 0; ; i++) {
  const choice = random();
  if (choice < 0.6) {
    const text = `${seedText}-${i}-${"x".repeat(Math.floor(random() * 1500))}`;
    const event = recordJobEvent(book, slug, "note.written", { text });
    acknowledge({ job: event.number, text });
  } else if (choice < 0.85) {
    const bytes = randomBytes(Math.floor(random() * 80_000));
    const [file] = addFiles(book, slug, [{ path: `attachments/${seedText}-${i}.bin`, bytes }]);
    acknowledge({ file });
  } else {
    const event = recordBookEvent(book, "shop.named", { name: `${seedText}-${i}` });
    acknowledge({ book: event.number, name: `${seedText}-${i}` });
  }
}
