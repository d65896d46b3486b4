export { createApp, type ServerParts } from "./app.ts";
export { type Desk, openDesk } from "./desk.ts";
export { openBench, type RunningBench } from "./listen.ts";
export { type BookKind, type Shelf, shelfOf } from "./shelf.ts";
