import type { Command } from "commander";
import { recordJobEvent, WAIT_KINDS } from "../../book/index.ts";
import { FAULTS } from "../../core/result/index.ts";
import { entered, enteringCommand } from "../book-command.ts";
import { oneOf } from "../parse.ts";

interface WaitOptions {
  readonly for: string;
  readonly until?: string;
  readonly fault?: string;
}

export function addWait(program: Command): void {
  enteringCommand<WaitOptions>(
    program,
    {
      usage: "wait <job> <what...>",
      about: "Say that a job stops until something comes: a part, the customer, a drive, the dynamometer",
      args: { job: "short name of the job", what: "what it waits for, in words" },
      examples: [
        'fettle wait wagon-rough-idle "throttle body" --for part --fault air.throttle-overflow --until 2026-12-01',
        'fettle wait wagon-rough-idle "go-ahead for the injectors" --for customer',
      ],
      notes: "With --fault, ending the wait lists what must be measured again after the repair.",
    },
    ({ book, args: [job, ...what], options }) => {
      const kind = oneOf(options.for, WAIT_KINDS, "--for");
      const fault = options.fault === undefined ? {} : { fault: oneOf(options.fault, FAULTS, "--fault") };
      const until = options.until === undefined ? {} : { until: options.until };
      const event = recordJobEvent(book, job!, "wait.began", { kind, what: what.join(" "), ...until, ...fault }, options.why);
      return entered(`The job waits for ${what.join(" ")}. When it is there: fettle wait-over ${job}`, { wait: event.number });
    },
  )
    .option("--for <kind>", `what kind of wait: ${WAIT_KINDS.join(", ")}`, "other")
    .option("--until <date>", "when it is expected")
    .option("--fault <id>", "fault that the part is to mend");
}
