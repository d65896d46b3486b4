import { parentPort, workerData } from "node:worker_threads";
import { UnusableInput } from "../base/index.ts";
import type { DeskReply, DeskRequest } from "./asks.ts";
import { answerAsk, makeDrawer } from "./drawer.ts";

const port = parentPort;
if (port === null) throw new Error("the desk runs as a worker");
const drawer = makeDrawer(workerData as { bookFolder: string; by: string });

port.on("message", async (request: DeskRequest) => {
  const reply = (message: DeskReply, move: ArrayBuffer[] = []): void => port.postMessage(message, move);
  try {
    const answer = await answerAsk(drawer, request, (text, share) => reply({ id: request.id, kind: "progress", text, share }));
    reply({ id: request.id, kind: "answer", answer }, answer instanceof Uint8Array ? [answer.buffer as ArrayBuffer] : []);
  } catch (error) {
    const problem = error instanceof UnusableInput ? error.problem : undefined;
    reply({ id: request.id, kind: "problem", what: error instanceof Error ? error.message : String(error), ...(problem === undefined ? {} : { problem }) });
  }
});
