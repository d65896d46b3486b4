import { parentPort, workerData } from "node:worker_threads";
import { fillDemoBook } from "../demo/index.ts";

const port = parentPort;
if (port === null) throw new Error("the demo book is made by a worker");
await fillDemoBook((workerData as { folder: string }).folder, (text, share) => port.postMessage({ text, share }));
