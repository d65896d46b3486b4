export { coherentResultSchema, resultJsonSchema, resultSchema } from "./result-schema.ts";
