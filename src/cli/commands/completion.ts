import type { Command } from "commander";
import { answering, describe } from "../book-command.ts";
import { completionScript, SHELLS } from "../completion-script.ts";
import { oneOf } from "../parse.ts";

export function addCompletion(program: Command): void {
  const command = describe(program, {
    usage: "completion <shell>",
    about: "Print what a shell needs to complete commands, options and short names of jobs",
    args: { shell: SHELLS.join(", ") },
    examples: [
      "fettle completion bash > ~/.local/share/bash-completion/completions/fettle",
      'fettle completion zsh > "$HOME/.zfunc/_fettle"',
      "fettle completion fish > ~/.config/fish/completions/fettle.fish",
    ],
  });
  answering(command, ([shell]) => {
    const script = completionScript(program, oneOf(shell!, SHELLS, "shell"));
    return { json: { shell, script }, text: script };
  });
}
