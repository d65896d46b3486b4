export { beginDemoBook, DEMO_VEHICLES, fillDemoBook, isDemoBook, isDemoWhole } from "./demo-book.ts";
export type { DemoVehicle } from "./hand.ts";
