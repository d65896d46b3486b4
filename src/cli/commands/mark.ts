import type { Command } from "commander";
import { recordJobEvent, STATIONS } from "../../book/index.ts";
import { entered, enteringCommand } from "../book-command.ts";
import { oneOf } from "../parse.ts";

const STATES = ["empty", "begun", "waiting", "done"] as const;

export function addMark(program: Command): void {
  enteringCommand(
    program,
    {
      usage: "mark <job> <station> <state>",
      about: "Mark a station of the job, as in: inspection done",
      args: { job: "short name of the job", station: STATIONS.join(", "), state: STATES.join(", ") },
      examples: ["fettle mark wagon-rough-idle inspection done"],
    },
    ({ book, args: [job, station, state], options }) => {
      recordJobEvent(book, job!, "station.marked", { station: oneOf(station!, STATIONS, "station"), state: oneOf(state!, STATES, "state") }, options.why);
      return entered(`${station} is ${state}.`);
    },
  );
}
