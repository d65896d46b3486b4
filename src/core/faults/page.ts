import type { Fault } from "./define.ts";
import { outcomeProbability, WORKSHOP_TESTS } from "./workshop-tests/index.ts";

/** The reference page of a fault in Markdown, from what its own file says. */
export function faultPage(fault: Fault): string {
  const lines = [`# ${fault.title}`, "", `\`${fault.id}\``, "", fault.what, "", "## What it does to residuals and signals", "", fault.moves, ""];
  if (fault.neighbours.length > 0) {
    lines.push("## How to tell it from its neighbours", "");
    for (const { fault: other, tell } of fault.neighbours) lines.push(`- \`${other}\`: ${tell}.`);
    lines.push("");
  }
  lines.push("## What it costs to ignore", "", fault.cost, "");
  if (fault.poisons.length > 0) {
    lines.push(`Held until it is mended, because a correction would bake it in: ${fault.poisons.map((role) => `\`${role}\``).join(", ")}.`, "");
  }
  if (fault.story !== undefined) {
    const { size, manners } = fault.story;
    lines.push("## Unknown size and manners", "", `${capital(size.name)} [${size.unit}], ${size.low} to ${size.high}, all equally likely beforehand.`, "");
    for (const manner of manners) lines.push(`- ${manner.says} (${manner.id}): ${(100 * shareOf(fault, manner.share)).toFixed(0)} % of cases`);
    lines.push("");
  }
  if (fault.tests.length > 0) {
    lines.push("## What to test", "");
    for (const id of fault.tests) {
      const test = WORKSHOP_TESTS.find((t) => t.id === id)!;
      const odds = test.outcomes.map((outcome) => `${outcome} ${(100 * outcomeProbability(test, fault.id, outcome)).toFixed(0)} %`).join(", ");
      lines.push(`- **${test.title}** (about ${test.minutes} min). ${test.how} With this fault: ${odds}. Cautions: ${test.cautions.join(" ")}`);
    }
    lines.push("");
  }
  if (fault.needs.length > 0) lines.push(`Signals needed: ${fault.needs.map((signal) => `\`${signal}\``).join(", ")}.`, "");
  lines.push(`How common, relative to the other faults: ${fault.prior}.`, "", `Sources: ${fault.sources.join("; ")}.`, "");
  return lines.join("\n");
}

function shareOf(fault: Fault, share: number): number {
  return share / fault.story!.manners.reduce((sum, manner) => sum + manner.share, 0);
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
