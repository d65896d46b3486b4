import { buildProgram } from "./program.ts";

process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  // Somebody closed the pipe (`| head`): that is no error of ours.
  if (error.code === "EPIPE") process.exit(0);
  throw error;
});

await buildProgram().parseAsync(process.argv);
