import { parentPort, workerData } from "node:worker_threads";
import type { DeskReply, DeskRequest } from "./asks.ts";
import { answerAsk, makeDrawer } from "./drawer.ts";

const port = parentPort;
if (port === null) throw new Error("the desk runs as a worker");
const drawer = makeDrawer((workerData as { bookFolder: string }).bookFolder);

port.on("message", async (request: DeskRequest) => {
  const reply = (message: DeskReply, move: ArrayBuffer[] = []): void => port.postMessage(message, move);
  try {
    const answer = await answerAsk(drawer, request, (text, share) => reply({ id: request.id, kind: "progress", text, share }));
    reply({ id: request.id, kind: "answer", answer }, answer instanceof Uint8Array ? [answer.buffer as ArrayBuffer] : []);
  } catch (error) {
    reply({ id: request.id, kind: "problem", what: error instanceof Error ? error.message : String(error) });
  }
});
