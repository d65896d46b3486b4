export type * from "./comeback.ts";
export type * from "./drive.ts";
export { coherentResultSchema, resultJsonSchema, resultSchema } from "./result-schema.ts";
export type * from "./views.ts";
